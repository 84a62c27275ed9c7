"""`bring` through the command line, the register out and in again, and earlier pieces in public."""

from __future__ import annotations

import csv
import io
import json
import re
import time
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from html import unescape
from pathlib import Path

import openpyxl
import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st

from provenance.build.bringing import bring
from provenance.build.opening import open_studio
from provenance.commands.main import main
from provenance.deeds.bringing import write_brought
from provenance.language.phrases import phrases_for_maker
from provenance.records.book import Book
from provenance.records.bring.same import TAKEN
from provenance.records.bring.written import text_of_record
from provenance.reports.register import WORDS, register
from provenance.reports.writers.data import as_csv

TODAY = date(2026, 11, 25)
STUDIO = "studio: Fernbeck\nmaker: Ivy Fernbeck\nsite: https://fernbeck.example\n"
OUTLETS = "harbour: {kind: gallery, title: Harbour gallery, commission: 45 %}\n"
NAMES = (
    "Tarn", "Beck", "Fell wall", "Sheepfold", "Rime", "Bield", "Gill", "Scar", "Moss", "Larch",
    "Peat", "Hay time", "Lapwing", "Thaw", "Ghyll head", "Stone pine", "Drove road", "Clough",
)  # fmt: skip
KINDS = ("Wall hanging", "Rug", "Scarf", "Throw", "cushion", "Shawl", "Table runner", "tapestry")
Write = Callable[[dict[str, str]], Path]


@pytest.fixture(autouse=True)
def on_a_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795608000")


def csv_text(rows: Iterable[Sequence[str]], separator: str = ",") -> str:
    into = io.StringIO(newline="")
    csv.writer(into, delimiter=separator).writerows(rows)
    return into.getvalue()


def run(folder: Path, *words: str, says: str | None = None) -> Result:
    return CliRunner().invoke(main, ["--studio", str(folder), *words], input=says)


def brought(folder: Path, rows: Sequence[Sequence[str]], *words: str, expect: int = 0) -> Result:
    table = folder.parent / "works.csv"
    table.write_text(csv_text(rows), encoding="utf-8")
    result = run(folder, "bring", str(table), *words)
    assert result.exit_code == expect, result.output
    return result


def data(folder: Path, rows: Sequence[Sequence[str]], *words: str, expect: int = 0) -> dict:
    return json.loads(brought(folder, rows, "--json", *words, expect=expect).stdout)


def records(folder: Path) -> dict[str, str]:
    return {path.name: path.read_text(encoding="utf-8") for path in folder.glob("*.yaml")}


def messy_rows() -> list[list[str]]:
    """300 pieces as their maker kept them for eleven years, with what is wrong in such tables:
    a title above, an empty row, a year in words, prices with and without signs, a number twice,
    a unit here and there, a row without a title."""
    rows = [["Fernbeck Weaving, all my pieces", "", "", "", "", "", "", "", ""], [],
            ["Inv. No", "Title", "Year", "Type", "Dimensions (cm)", "Materials", "Price",
             "Sold to", "Remarks"]]  # fmt: skip
    for turn in range(300):
        year, number = 2008 + turn // 28, turn % 28 + 1
        rows.append([
            f"{year}-{number:03}",
            f"{NAMES[turn % len(NAMES)]} {'I' * (turn // len(NAMES) % 3 + 1)}",
            (f"{year}", f"June {year}", f"{turn % 27 + 1:02}/{turn % 12 + 1:02}/{year}")[turn % 3],
            KINDS[turn % len(KINDS)],
            (f"{90 + turn} x {40 + turn}", f"{90 + turn},5x{40 + turn}",
             f"{90 + turn} × {40 + turn} cm", "")[turn % 4],
            "Gotland, linen" if turn % 2 else "",
            (f"£{120 + turn}", f"{120 + turn}.50", f"1,{turn:03}", "")[turn % 4],
            f"Mrs {NAMES[turn % 7]}" if turn % 5 == 0 else "",
            "shown at the Dale show" if turn % 9 == 0 else "",
        ])  # fmt: skip
    rows[10][0] = rows[9][0]  # row 11 has the number of row 10
    rows[20][1] = ""
    rows[30][6] = "ask me"
    rows[40][2] = "a while ago"
    rows[50][4] = "large"
    rows[60][3] = "lampshade"
    return rows


REFUSED = {
    11: "the number 2008-007 stands in row 10 already",
    21: "it has no title",
    31: "'ask me' is not an amount of money",
    41: "'a while ago' is not a date",
    51: "'large' is not a size",
}


def test_300_rows_of_a_maker_come_in_and_bad_ones_are_refused_by_their_rows(
    write_studio: Write, tmp_path: Path
) -> None:
    folder = write_studio({"studio/studio.yaml": STUDIO})
    table = tmp_path / "works.csv"
    table.write_bytes(csv_text(messy_rows(), ";").encode("cp1252"))
    told = json.loads(run(folder, "bring", str(table), "--json").stdout)
    assert {each["row"]: each["what"] for each in told["refused"]} == REFUSED
    assert [(each["row"], each["what"]) for each in told["remarks"]] == [
        (61, "'lampshade' is none of our kinds")]  # fmt: skip
    assert len(told["new"]) == 295
    assert records(folder) == {}
    result = run(folder, "bring", str(table), "--write", "--yes")
    assert result.exit_code == 1  # rows were refused
    assert "295 records written." in result.output
    assert len(records(folder)) == 295
    lampshade = next(text for text in records(folder).values() if "lampshade" in text)
    assert "\nkind: other\n" in lampshade and '\nnotes: "kind: lampshade"\n' in lampshade
    checked = run(folder, "check")
    assert "295 pieces ready, no drafts; no mistakes, no remarks." in checked.output
    before = records(folder)
    again = run(folder, "bring", str(table), "--write", "--yes")
    assert "No new record; 295 there already, 0 that say otherwise, 5 refused." in again.output
    assert records(folder) == before


def test_a_record_as_it_is_written(write_studio: Write) -> None:
    folder = write_studio({"studio/studio.yaml": STUDIO, "studio/outlets.yaml": OUTLETS})
    rows = [
        ["No", "Title", "Made", "Type", "Size", "Materials", "Price", "Where", "Sold on",
         "Sold for", "Buyer", "Email", "Notes"],
        ["2019-004", "Tarn: a study", "April 2019", "tapestry", '48" x 24"', "wool, weld",
         "£480", "Harbour Gallery", "2019-06-01", "450", "Ann Fell", "ann@fell.example",
         "two\nlines"],
    ]  # fmt: skip
    brought(folder, rows, "--write", "--yes")
    assert records(folder) == {"2019-004-tarn-a-study.yaml": """\
# yaml-language-server: $schema=.schemas/piece.json
number: 2019-004
title: "Tarn: a study"
earlier: yes
kind: hanging
finished: 2019-04
size: 48 x 24 in
made of: wool, weld
price: 480
at: harbour
sale: {on: 2019-06-01, price: 450, buyer: {name: "Ann Fell", email: "ann@fell.example"}}
notes: |-
  two
  lines
"""}  # fmt: skip
    assert run(folder, "check").exit_code == 0


def test_writing_asks_and_is_refused_where_nobody_can_answer(write_studio: Write) -> None:
    folder = write_studio({"studio/studio.yaml": STUDIO})
    rows = [["No", "Title", "Year"], ["2019-001", "Tarn", "2019"]]
    result = brought(folder, rows, "--write", expect=1)
    assert "nobody is there to ask whether the records shall be written" in result.stderr
    assert "add --yes where that is wished" in result.stderr
    assert records(folder) == {}


def test_numbers_are_given_by_year_in_order_and_stay(write_studio: Write) -> None:
    printed = '- {on: "2020-01-01", paper: "tag", number: "2019-002", title: "Gone"}\n'
    folder = write_studio({"studio/studio.yaml": STUDIO, "studio/printed.yaml": printed})
    rows = [["Title", "Year"], ["Late", "June 2019"], ["Tarn", "2018"], ["Early", "May 2019"],
            ["Tarn", "2018"]]  # fmt: skip
    told = data(folder, rows)
    numbers = {each["row"]: each["number"] for each in told["new"]}
    assert numbers == {2: "2019-004", 3: "2018-001", 4: "2019-003", 5: "2018-002"}
    brought(folder, rows, "--write", "--yes")
    assert len(records(folder)) == 4
    again = data(folder, [*rows, ["Newer", "2018"]])
    assert [each["number"] for each in again["there"]] == [
        "2018-001",
        "2018-002",
        "2019-003",
        "2019-004",
    ]
    assert [each["number"] for each in again["new"]] == ["2018-003"]


def test_numbers_that_are_taken_are_refused(write_studio: Write) -> None:
    folder = write_studio({
        "studio/studio.yaml": STUDIO,
        "studio/printed.yaml": '- {on: "2020-01-01", paper: tag, number: 2019-001, title: Gone}\n',
        "2019-002-heft.yaml": "number: 2019-002\ntitle: Heft\nearlier: yes\n",
        "2019-003-torn.yaml": "number: 2019-003\ntitle: [\n",
    })  # fmt: skip
    rows = [["No", "Title", "Year"]] + [[f"2019-00{n}", "Tarn", "2019"] for n in (1, 2, 3)]
    told = data(folder, rows, expect=1)
    assert {each["row"]: each["what"] for each in told["refused"]} == {
        2: "the number 2019-001 was printed for 'Gone' on 1 January 2020",
        3: "2019-002 is 'Heft' in your records (pieces/2019-002-heft.yaml:1)",
        4: "the number 2019-003 is taken: a file or a record that can't be read has it",
    }
    assert told["new"] == []


def test_a_changed_row_is_told_and_the_record_stays(write_studio: Write) -> None:
    folder = write_studio({"studio/studio.yaml": STUDIO})
    rows = [
        ["No", "Title", "Year", "Size", "Price"],
        ["2019-001", "Tarn", "2019", "90 x 30 cm", "80"],
    ]
    brought(folder, rows, "--write", "--yes")
    before = records(folder)
    rows[1][3:] = ["0.9 x 0.3 m", "95"]  # the same size, another price
    told = data(folder, rows, "--write", "--yes")
    words = [{"word": "price", "record": "80", "table": "95"}]
    assert told["changed"] == [{"row": 2, "number": "2019-001", "words": words}]
    assert records(folder) == before


def test_what_can_be_read_two_ways_is_asked_once_for_the_column(write_studio: Write) -> None:
    folder = write_studio({"studio/studio.yaml": STUDIO})
    rows = [["No", "Title", "Date"], ["1", "A", "03/04/2019"], ["2", "B", "05/06/2019"],
            ["3", "C", "2019"]]  # fmt: skip
    told = data(folder, rows, expect=1)
    assert told["questions"] == [{
        "row": 2, "column": "Date",
        "what": "'03/04/2019': day and month can be read either way, and no other row decides,"
        " and 1 more row like it",
        "remedy": 'say which comes first: --as "Date=finished day first" or month first',
    }]  # fmt: skip
    refused = brought(folder, rows, "--write", "--yes", expect=1)
    assert "nothing was written: a column asks something first" in refused.stderr
    assert records(folder) == {}
    days = data(folder, rows, "--as", "Date=finished month first")["new"]
    assert [each["facts"]["finished"] for each in days] == ["2019-03-04", "2019-05-06", "2019"]
    decided = data(folder, [*rows, ["4", "D", "25/12/2019"]])["new"]
    assert [each["facts"]["finished"] for each in decided][:2] == ["2019-04-03", "2019-06-05"]


def test_without_a_title_or_a_year_it_says_what_it_found(write_studio: Write) -> None:
    folder = write_studio({"studio/studio.yaml": STUDIO})
    result = brought(folder, [["Code", "Called"], ["x", "Tarn"]], expect=1)
    assert "no column is a title; there are: Code, Called" in result.stderr
    result = brought(folder, [["Code", "Title"], ["x", "Tarn"]], expect=1)
    assert "no column is a number or a year; there are: Code, Title" in result.stderr


def test_photos_are_matched_by_the_number_their_names_begin_with(write_studio: Write) -> None:
    folder = write_studio({"studio/studio.yaml": STUDIO})
    for name in ("2019-004 front.jpg", "2019-004_detail.JPG", "2019-0041.jpg", "2019-004.txt",
                 "2019-004-2.jpg", "2019-005-2 front.jpg"):  # fmt: skip
        path = folder / "photos" / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(b"")
    rows = [["No", "Title", "Year"], ["2019-004", "Tarn", "2019"], ["2019-005", "Beck", "2019"],
            ["2019-005-2", "Beck, second", "2019"]]  # fmt: skip
    told = data(folder, rows)
    assert {each["number"]: each["photos"] for each in told["new"]} == {
        "2019-004": ["2019-004 front.jpg", "2019-004-2.jpg", "2019-004_detail.JPG"],
        "2019-005": [], "2019-005-2": ["2019-005-2 front.jpg"],
    }  # fmt: skip
    result = brought(folder, rows)
    assert "4 photos in photos/ go with 2 of them by their numbers." in result.output


def test_10_000_rows_are_proposed_in_a_breath(write_studio: Write) -> None:
    """A table of a large archive, its size is the point (5 s); a slow way would take minutes."""
    folder = write_studio({"studio/studio.yaml": STUDIO})
    rows = [["No", "Title", "Year", "Size (cm)", "Price"]]
    years = [1950 + turn // 200 for turn in range(10_000)]
    rows += [[f"{year}-{turn % 200:03}", f"Piece {turn}", f"{year}", "90 x 30", "80"]
             for turn, year in enumerate(years)]  # fmt: skip
    start = time.process_time()
    assert len(data(folder, rows)["new"]) == 10_000
    assert time.process_time() - start < 30


# --- out and in again

SIGNS = st.characters(codec="utf-8", exclude_categories=("C", "Z")) | st.just(" ")
LINE = st.text(SIGNS, min_size=1, max_size=30).map(lambda text: " ".join(text.split())).filter(
    lambda text: text and not re.match(r"'[=+\-@]", text))  # fmt: skip
CERTAIN = LINE.filter(lambda text: text not in ("-", "–", "—", "./."))
EDITION = CERTAIN.filter(lambda text: not re.search("[0-9]|of|von", text)).map("ink on {}".format)
# _x000D_ is how some workbooks write the end of a line: it is read as one, wherever it stands
BLOCK = st.lists(LINE, min_size=1, max_size=3).map("\n".join).filter(lambda t: "_x000D_" not in t)
DAY = st.dates(date(1990, 1, 1), TODAY)
FINISHED = st.one_of(DAY.map(str), DAY.map(lambda d: f"{d:%Y-%m}"), DAY.map(lambda d: f"{d:%Y}"))
LENGTH = st.decimals(1, 900, places=3).map(lambda d: format(d.normalize(), "f"))
MONEY = st.decimals(0, 99999, places=3).map(lambda d: format(d.normalize(), "f"))
SIZE = st.builds(
    lambda a, b, unit: f"{a} x {b} {unit}", LENGTH, LENGTH, st.sampled_from(["cm", "in", "m"])
)
SALE = st.fixed_dictionaries(
    {"sold on": DAY.map(str)},
    optional={"sold for": MONEY, "to": CERTAIN, "buyer": CERTAIN, "email": CERTAIN,
              "sold at": st.just("harbour"), "consent": st.just("yes")},
)  # fmt: skip
FACTS = st.builds(
    dict.__or__,
    st.fixed_dictionaries(
        {"title": LINE, "finished": FINISHED},
        optional={
            "kind": st.sampled_from(["hanging", "rug", "scarf", "other"]), "size": SIZE,
            "structure": CERTAIN, "weight": LENGTH.map(lambda text: f"{text} kg"),
            "made of": CERTAIN, "signed": CERTAIN, "edition": EDITION, "price": MONEY,
            "hours": st.decimals(1, 300, places=3).map(lambda d: format(d.normalize(), "f")),
            "at": st.just("harbour"), "kept": CERTAIN, "story": BLOCK, "notes": BLOCK,
            "status": st.sampled_from(["available", "sold", "not for sale",
                                       "reserved until 2030-01-01"]),
        },
    ),
    st.one_of(st.just({}), SALE),
)  # fmt: skip


def written(folder: Path, every: Sequence[dict[str, str]], *, comma: bool) -> Book:
    """A studio with these earlier pieces."""
    (folder / "studio").mkdir(parents=True)
    own = "decimal comma: yes\n" if comma else ""
    (folder / "studio" / "studio.yaml").write_text(STUDIO + own, encoding="utf-8")
    (folder / "studio" / "outlets.yaml").write_text(OUTLETS, encoding="utf-8")
    for turn, facts in enumerate(every, 1):
        if comma:
            facts = {word: text.replace(".", ",") if word in ("size", "weight", "price", "hours",
                     "sold for") else text for word, text in facts.items()}  # fmt: skip
        text = text_of_record(facts, f"2019-{turn:03}", "# a record")
        (folder / f"2019-{turn:03}.yaml").write_text(text, encoding="utf-8")
    studio = open_studio(folder, TODAY)
    assert len(studio.book.pieces) == len(every), [str(each) for each in studio.problems]
    return studio.book


@settings(max_examples=12)
@given(every=st.lists(FACTS, min_size=1, max_size=5), comma=st.booleans())
def test_the_register_comes_back_as_the_same_records(
    tmp_path_factory: pytest.TempPathFactory, every: list[dict[str, str]], comma: bool
) -> None:
    """12 studios of a few pieces each: written, put out as CSV, brought into an empty studio (each
    is read five times from the disk: ten seconds in all)."""
    home = tmp_path_factory.mktemp("round")
    first = written(home / "first", every, comma=comma)
    studio = open_studio(home / "first", TODAY)
    rows, phrases = register(studio).rows, phrases_for_maker(first)
    assert rows is not None
    (home / "register.csv").write_bytes(as_csv(rows(), phrases))
    there = bring(studio, home / "register.csv", "", (), phrases).proposal
    assert [number for _, number in there.there] == list(first.pieces), there
    written(home / "second", [], comma=comma)
    other = open_studio(home / "second", TODAY)
    found = bring(other, home / "register.csv", "", (), phrases)
    assert found.proposal.refused == []
    write_brought(home / "second", found, TODAY)
    second = open_studio(home / "second", TODAY).book
    taken = [{n: take(p) for n, p in book.pieces.items()} for book in (first, second)
             for take in [lambda p: {word: TAKEN[word](p) for word in TAKEN}]]  # fmt: skip
    assert taken[0] == taken[1]


def test_the_register_has_every_word_that_is_held_against_a_row() -> None:
    assert {"at" if word == "where" else word for word in WORDS} == {*TAKEN, "number", "earlier"}


def test_bare_provenance_writes_the_register(write_studio: Write) -> None:
    folder = write_studio({
        "studio/studio.yaml": "studio: Fernbeck\nmaker: Ivy\nlanguage: de\ndecimal comma: yes\n",
        "2019-001.yaml": 'number: 2019-001\ntitle: "=Heft"\nearlier: yes\nsize: 90,5 x 30 cm\n',
        "2026-001.yaml": "number: 2026-001\ntitle: Rime\nstatus: in progress\nprice: 12,50\n",
    })  # fmt: skip
    path = folder.parent / "register.csv"
    result = run(folder, "--csv", str(path))
    assert result.exit_code == 0
    assert result.stderr == f"2 Stücke in {path}\n"
    text = path.read_bytes().decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text), delimiter=";"))
    shown = [(row["Nummer"], row["Titel"], row["Früher"], row["Maße"], row["Preis"], row["Stand"])
             for row in rows]  # fmt: skip
    assert shown == [
        ("2019-001", "'=Heft", "yes", "90,5 x 30 cm", "", ""),
        ("2026-001", "Rime", "no", "", "12,5", "in progress"),
    ]
    told = json.loads(run(folder, "bring", str(path), "--json").stdout)
    assert [each["number"] for each in told["there"]] == ["2019-001", "2026-001"]
    alone = run(folder, "--csv", str(path), "check")
    assert alone.exit_code == 2


def test_only_earlier_work_is_brought_in(write_studio: Write) -> None:
    folder = write_studio({"studio/studio.yaml": STUDIO})
    rows = [["No", "Title", "Year", "Earlier"], ["1", "A", "2019", "no"], ["2", "B", "2019", "yes"]]
    told = data(folder, rows, expect=1)
    assert [(each["row"], each["what"]) for each in told["refused"]] == [
        (2, "it is no earlier work, and only earlier work is brought in")]  # fmt: skip


# --- earlier pieces in public

EARLIER = {
    "studio/studio.yaml": STUDIO + "place: Eskrigg Dale\nlabels for: [UK, EU, US]\n",
    "studio/outlets.yaml": OUTLETS,
    "2019-004.yaml": "number: 2019-004\ntitle: Tarn\nearlier: yes\nkind: hanging\n"
    "finished: April 2019\nsize: 120 x 60 cm\nmade of: Gotland and linen, dyed with weld\n"
    "price: 480\nnotes: SECRET\n"
    "sale: {on: 2019-06-01, price: 450, to: SECRET, buyer: {name: SECRET}}\n",
    "2018-001.yaml": "number: 2018-001\ntitle: First\nearlier: yes\nprice: 80\n",
}
SAID = (
    "This piece was made before the studio kept records of materials, dyes and hours. What is said"
    " here is all that is known; the rest was not written down."
)


@pytest.fixture
def earlier(write_studio: Write, kept_cache: Path) -> Path:
    return write_studio(EARLIER)


def page_text(folder: Path, number: str) -> str:
    page = (folder.parent / "site" / number / "index.html").read_text(encoding="utf-8")
    article = page.partition("<article")[2].partition("</article")[0]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", article)).split())


def test_earlier_pieces_are_published_as_such(earlier: Path) -> None:
    assert run(earlier, "check").output.startswith("2 pieces ready, no drafts; no mistakes")
    result = run(earlier, "build")
    assert result.exit_code == 0, result.output
    tarn, first = page_text(earlier, "2019-004"), page_text(earlier, "2018-001")
    assert SAID in tarn and SAID in first
    assert "Hanging, April 2019" in tarn and "Piece, 2018" in first
    assert "As recalled Gotland and linen, dyed with weld" in tarn
    unknown = ("Light", "Care", "undyed", "Undyed", "Fibre", "% wool", "not recorded", "0.00")
    for not_known in unknown:
        assert not_known not in tarn and not_known not in first, not_known
    site = earlier.parent / "site"
    assert "SECRET" not in "".join(
        each.read_text(encoding="utf-8") for each in site.rglob("*") if each.suffix in
        (".html", ".json", ".xml"))  # fmt: skip
    for name in ("index.html", "work/index.html", "feed.xml", "sitemap.xml"):
        listed = (site / name).read_text(encoding="utf-8")
        assert "2019-004" in listed and "2018-001" in listed, name
    assert "<published>2018-12-31T12:00:00Z" in (site / "feed.xml").read_text(encoding="utf-8")
    facts = json.loads((site / "2019-004" / "piece.json").read_text(encoding="utf-8"))
    assert facts["note"] == SAID and facts["made of"] == "Gotland and linen, dyed with weld"
    page = (site / "2019-004" / "index.html").read_text(encoding="utf-8")
    made = json.loads(re.findall(r'ld\+json">\n(.*?)\n</script>', page, re.DOTALL)[0])
    assert made["dateCreated"] == "2019-04"
    assert made["artMedium"] == "Gotland and linen, dyed with weld"
    assert "material" not in made and "offers" not in made


def test_what_cannot_be_worked_out_is_said_and_not_made_up(earlier: Path) -> None:
    cost = run(earlier, "cost", "2019-004")
    assert cost.exit_code == 1
    assert cost.stderr == (
        "2019-004 was made before you kept records: there is nothing to cost it by\n"
        "    write its yarns and hours if you know them\n"
    )
    assert "2018-001" not in run(earlier, "stock", "--items").output
    tags = run(earlier, "tags", "2018-001")
    assert "left out, the record does not say its size and fibres: 2018-001" in tags.output
    made = run(earlier, "certificate", "2018-001")
    assert made.exit_code == 0, made.output
    assert (earlier / "papers" / "certificate-2018-001.pdf").is_file()


def test_a_year_alone_is_for_earlier_pieces(write_studio: Write) -> None:
    folder = write_studio({
        "studio/studio.yaml": STUDIO,
        "1-a.yaml": "number: 1\ntitle: A\nfinished: April 2026\n",
        "2-b.yaml": "number: 2\ntitle: B\nmade of: wool\n",
        "3-c.yaml": "number: 3\ntitle: C\nearlier: yes\n",
    })  # fmt: skip
    said = run(folder, "check").output
    assert (
        "pieces/1-a.yaml:3:11: '2026-04' is not a whole day\n    write the day, such as 2026-09-14;"
        " a year or a month will do for a piece with 'earlier: yes', made before you kept records"
    ) in said
    assert "pieces/2-b.yaml:3:10: 'made of' is for pieces made before you kept records" in said
    assert "3 C" in said and "its year: 'finished: 2019'" in said


def test_a_new_piece_like_an_earlier_one_is_not_earlier(write_studio: Write) -> None:
    folder = write_studio(EARLIER)
    assert run(folder, "start", "piece", "--like", "2019-004").exit_code == 0
    text = (folder / "2026-001.yaml").read_text(encoding="utf-8")
    assert "title: Untitled\nkind: hanging\nstatus: in progress\n" in text
    assert "earlier" not in text and "made of" not in text


def test_an_old_workbook_of_a_german_maker(write_studio: Write, tmp_path: Path) -> None:
    folder = write_studio({
        "studio/studio.yaml": "studio: Erlengrund\nmaker: Ida Erle\nlanguage: de\ncurrency: EUR\n"
        "decimal comma: yes\n"})  # fmt: skip
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["Meine Arbeiten"])
    sheet.merge_cells("A1:F1")
    sheet.append([])
    sheet.append(["Inventarnr.", "Titel", "Fertig am", "Art", "Breite x Höhe (cm)", "Preis (€)"])
    sheet.append(["2015-001", "Heide", date(2015, 3, 4), "Wandbehang", "60 x 120,5", 1450.5])
    sheet.append(["2015-002", "Moor", "Mai 2015", "Läufer", "30 x 180", "1.250,00 €"])
    book.save(tmp_path / "arbeiten.xlsx")
    told = json.loads(run(folder, "bring", str(tmp_path / "arbeiten.xlsx"), "--json").stdout)
    assert [(each["row"], each["facts"]) for each in told["new"]] == [
        (4, {"title": "Heide", "finished": "2015-03-04", "kind": "hanging",
             "size": "120,5 x 60 cm", "price": "1450,5"}),
        (5, {"title": "Moor", "finished": "2015-05", "kind": "runner", "size": "180 x 30 cm",
             "price": "1250,00"}),
    ]  # fmt: skip


def test_undo_takes_back_all_that_was_brought(write_studio: Write) -> None:
    folder = write_studio({"studio/studio.yaml": STUDIO})
    rows = [["title", "finished"], ["Tarn", "2019"], ["Beck", "2020"]]
    brought(folder, rows, "--write", "--yes")
    assert len(list(folder.glob("*.yaml"))) == 2
    taken_back = run(folder, "undo", "--yes")
    assert (taken_back.exit_code, list(folder.glob("*.yaml"))) == (0, [])
    assert "Takes back 'bring works.csv' of 2026-11-25" in taken_back.stdout


def test_what_was_changed_since_it_was_brought_is_not_thrown_away(write_studio: Write) -> None:
    folder = write_studio({"studio/studio.yaml": STUDIO})
    brought(folder, [["title", "finished"], ["Tarn", "2019"]], "--write", "--yes")
    (path,) = folder.glob("*.yaml")
    path.write_text(path.read_text() + "notes: found again\n")
    refused = run(folder, "undo", "--yes")
    assert (refused.exit_code, path.exists()) == (1, True)
    assert "throw the file away by hand, if it is not wanted" in refused.stderr
