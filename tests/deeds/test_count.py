"""`count`: after a stock count, what is left in the records is what was counted."""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path

import pytest

from provenance.build.opening import open_studio
from provenance.figures.flow.flow import Key

DYED = """\
date: 2026-02-01
dyed:
  - {yarn: grey-2ply, weight: 400 g, becomes: furze}
  - yarn: grey-2ply
    weight: 300 g
    becomes: moss       # the darker
steps: []
"""
SUNDRIES = """\
bar: {number: 10, cost: 40.00}
tape: {length: 5 m, cost: 10.00}
label: {each: 0.35}
"""


@pytest.fixture
def shelves(folder):
    (folder / "dyebook").mkdir()
    (folder / "dyebook" / "furze.yaml").write_text(DYED)
    (folder / "studio" / "sundries.yaml").write_text(SUNDRIES)
    (folder / "studio" / "dyestuffs.yaml").write_text("weld: {got: grown}\n")
    return folder


def left(folder, kind, name):
    studio = open_studio(folder, date(2026, 11, 25))
    assert studio.mistakes == ()
    return studio.flow.left(Key(kind, name))


@pytest.mark.parametrize(
    ("lot", "there", "kind", "counted", "written"),
    [
        ("black-2ply", "280 g", "yarn", 280, "    # two skeins\n  cost: 30.00\n  lost: 20 g\n"),
        ("grey-2ply", "850 g", "yarn", 850, "{fibre: wool, weight: 2 kg, cost: 80.00, lost: 50 g}"),
        ("furze", "390 g", "dyed", 390, "becomes: furze, lost: 10 g}\n"),
        ("moss", "0.25 kg", "dyed", 250, "    becomes: moss       # the darker\n    lost: 50 g\n"),
        ("bar", "7", "sundry", 7, "bar: {number: 10, cost: 40.00, lost: 3}\n"),
        ("tape", "4.5 m", "sundry", 450, "tape: {length: 5 m, cost: 10.00, lost: 50 cm}\n"),
    ],
)
def test_the_difference_is_lost(shelves, say, here, lot, there, kind, counted, written):
    before = here()
    say("count", lot, there)
    after = here()
    changed = [name for name in before if after[name] != before[name]]
    assert len(changed) == 1
    assert written in after[changed[0]].decode()
    assert left(shelves, kind, lot) == counted
    say("undo")
    assert here() == before


def test_it_says_what_was_there_and_what_the_records_left(say):
    assert say("count", "black-2ply", "280 g").stdout == (
        "black-2ply: 280 g there, the records left 300 g; lost so far: 20 g\n"
        "pieces/studio/yarns.yaml:6\n"
        "  + lost: 20 g\n"
        "Written. 'provenance undo' takes it back.\n"
    ).replace("  + lost", "  +   lost")


def test_counted_again_the_loss_grows_and_what_is_found_again_makes_it_less(say, folder):
    say("count", "black-2ply", "280 g")
    say("count", "black-2ply", "270 g")
    assert left(folder, "yarn", "black-2ply") == 270
    say("count", "black-2ply", "300 g")
    assert left(folder, "yarn", "black-2ply") == 300
    assert "lost: 0 g" in (folder / "studio" / "yarns.yaml").read_text()


def test_ounces_stay_ounces(say, folder):
    say("count", "black-2ply", "10 oz")
    assert "lost: 0.582 oz" in (folder / "studio" / "yarns.yaml").read_text()


def test_as_the_records_have_it_nothing_is_written(say, here):
    before = here()
    said = say("count", "black-2ply", "300 g").stdout
    assert said == "black-2ply is as the records have it: 300 g\n"
    assert here() == before


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("black-2ply", "400 g"), 1,
         "the records leave 300 g of black-2ply (pieces/studio/yarns.yaml:2), and that is less "
         "than you counted\n    a use may be written too high, the lot's weight too low, or what "
         "was bought since has no lot yet: 'provenance trace black-2ply' shows every use\n"),
        (("black-2pli", "400 g"), 1,
         "no lot called 'black-2pli'\n    did you mean 'black-2ply'?\n"),
        (("black-2ply", "300"), 2,
         "'300' is a weight without a unit\n    write for example 412 g, 1.2 kg or 3 lb 4 oz\n"),
        (("label", "12"), 1,
         "how much label there was is not written down\n    write what is there now and the 0 used "
         "together as its amount, in pieces/studio/sundries.yaml:3\n"),
        (("weld", "12 g"), 1,
         "how much weld there was is not written down\n    write what is there now and the 0 g "
         "used together as its amount, in pieces/studio/dyestuffs.yaml:1\n"),
    ],
)  # fmt: skip
def test_a_count_that_can_not_be_is_refused(shelves, say, here, words, code, said):
    before = here()
    assert say("count", *words, code=code).stderr == said
    assert here() == before


def test_a_name_of_two_lots_is_refused(shelves, say, here):
    (shelves / "studio" / "sundries.yaml").write_text("black-2ply: {number: 3, cost: 1.00}\n")
    before = here()
    assert say("count", "black-2ply", "2", code=1).stderr == (
        "more than one lot is called black-2ply: pieces/studio/yarns.yaml:2 and "
        "pieces/studio/sundries.yaml:1\n    write 'lost:' into the one you counted\n"
    )
    assert here() == before


@pytest.mark.parametrize(
    ("lot", "remedy"),
    [
        ("bar: {number: 10, cost: 40.00, lost: 3 g}", "write how many, such as 'lost: 2'"),
        ("bar: {length: 5 m, cost: 40.00, lost: 3}", "write a length, such as 'lost: 20 cm'"),
        ("bar: {weight: 5 kg, cost: 40.00, lost: 3}", "write a weight, such as 'lost: 20 g'"),
    ],
)
def test_a_loss_in_another_measure_is_told(folder, say, lot, remedy):
    (folder / "studio" / "sundries.yaml").write_text(f"{lot}\n")
    said = say("check", yes=False, code=1).stdout
    column = lot.index("lost: ") + 7
    assert (
        f"pieces/studio/sundries.yaml:1:{column}: 'lost' is in another measure than there is\n"
        f"    {remedy}\n"
    ) in said


@pytest.fixture
def sheet(shelves, say, tmp_path):
    """The sheet as `stock --count-sheet` writes it, with some lots counted."""
    say("stock", "--count-sheet", yes=False)  # it asks nothing
    (path,) = (shelves / "papers" / "private").glob("count-*.csv")

    def filled(counted, separator=","):
        rows = list(csv.reader(path.read_text(encoding="utf-8-sig").splitlines()))
        assert rows[0] == ["lot", "class", "kept", "reckoned", "counted"]
        lines = [[*row[:4], counted.get(row[0], "")] for row in rows[1:]]
        into = tmp_path / "shelves.csv"
        with into.open("w", newline="") as file:
            csv.writer(file, delimiter=separator).writerows([rows[0], *lines])
        return str(into)

    return filled


@pytest.mark.parametrize("separator", [",", ";"])
def test_a_filled_sheet_is_one_deed(shelves, say, here, sheet, separator):
    before = here()
    file = sheet({"black-2ply": "280 g", "grey-2ply": "850 g", "bar": "7"}, separator)
    said = say("count", "--sheet", file).stdout
    assert "black-2ply: 280 g there, the records left 300 g; lost so far: 20 g\n" in said
    counted = [left(shelves, *lot) for lot in
               (("yarn", "black-2ply"), ("yarn", "grey-2ply"), ("sundry", "bar"))]  # fmt: skip
    assert counted == [280, 850, 7]
    assert left(shelves, "sundry", "tape") == 500
    say("undo")
    assert here() == before


@pytest.mark.parametrize(
    ("counted", "code", "said"),
    [
        ({}, 1, "nothing is counted in shelves.csv\n"
         "    write amounts with their unit into the last "
         "column: 418.5 g, 3.2 m, 12\n"),
        ({"grey-2ply": "850 g", "black-2ply": "280"}, 2,
         "shelves.csv, row {row}: '280' is a weight without a unit\n    write for example 412 g, "
         "1.2 kg or 3 lb 4 oz\n"),
    ],
)  # fmt: skip
def test_a_sheet_with_a_row_that_can_not_be_writes_nothing(say, here, sheet, counted, code, said):
    before, file = here(), sheet(counted)
    names = [row[0] for row in csv.reader(Path(file).read_text().splitlines())]
    row = names.index("black-2ply") + 1
    assert say("count", "--sheet", file, code=code).stderr == said.format(row=row)
    assert here() == before


def test_another_table_is_no_count_sheet(say, tmp_path):
    (tmp_path / "works.csv").write_text("number,title\n2026-001,Ebb\n")
    assert say("count", "--sheet", str(tmp_path / "works.csv"), code=1).stderr == (
        "works.csv has no column 'lot'\n    'provenance stock --count-sheet' writes such a sheet\n"
    )


@pytest.mark.parametrize("words", [(), ("furze",), ("furze", "2 g", "--sheet", "x.csv")])
def test_a_lot_or_a_sheet(say, words):
    assert say("count", *words, code=2).stderr == (
        "a lot and an amount, or a sheet, and not both\n    such as 'provenance count furze "
        "\"380 g\"', or 'provenance count --sheet FILE.csv'\n"
    )
