"""`start`: new records are explained, right, numbered safely, and never written over another."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner
from jsonschema import Draft202012Validator

from provenance.build.start_words import start_words
from provenance.commands.main import main
from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.press.templates import shipped_templates
from provenance.problems import Problems
from provenance.records.book import read_book
from provenance.records.checks import review
from provenance.records.new_records import like_text
from provenance.records.schema import schemas
from provenance.records.text import Fields
from provenance.records.yaml_file import read_text

TODAY = {"SOURCE_DATE_EPOCH": "1795608000"}  # 25 November 2026


@pytest.fixture
def run(tmp_path, monkeypatch):
    """The command as a maker runs it, in an empty folder of their own."""
    monkeypatch.chdir(tmp_path)

    def called(*words: str, code: int = 0) -> str:
        result = CliRunner().invoke(main, list(words), env=TODAY, catch_exceptions=False)
        assert result.exit_code == code, result.output
        return result.output

    return called


def said(folder: Path) -> list[str]:
    book, problems = read_book(folder)
    assert book is not None
    return [
        told(problem, british()).split("\n")[0] for problem in sorted({*problems, *review(book)})
    ]


def test_a_new_studio_is_whole_and_without_mistakes(run, tmp_path):
    assert run("start", "studio", "--name", "Fold & Fell", "--maker", "Isla Wren") == (
        "pieces\nOpen studio/studio.yaml and put your pay in; then 'provenance start piece'.\n"
    )
    pieces = tmp_path / "pieces"
    assert said(pieces) == []
    book, _ = read_book(pieces)
    assert (book.studio.studio, book.studio.maker) == ("Fold & Fell", "Isla Wren")
    there = {path.relative_to(pieces).as_posix() for path in pieces.rglob("*") if path.is_file()}
    assert there - {".provenance.lock"} == {
        *(f"studio/{name}.yaml" for name in ("studio", "fleece", "yarns", "dyestuffs", "mordants",
                                             "sundries", "outlets")),
        *(f"pages/{name}.md" for name in ("about", "process", "care")),
        *(f"{name}/README.md" for name in ("dyebook", "commissions", "photos", "papers")),
        *(f".schemas/{name}" for name in schemas(british().words)),
    }  # fmt: skip
    assert run("check") == "no pieces ready, no drafts; no mistakes, no remarks.\n"
    assert "Fold &amp; Fell" in (pieces / "pages" / "about.md").read_text()


def test_words_of_the_start_files_never_leave_the_house(run, tmp_path):
    pieces = tmp_path / "pieces"
    run("start", "studio")
    own = "\n    write your own; nothing is printed or published before\n"
    still = "pieces/studio/studio.yaml:5:9: {}'My Studio' is still the start file's" + own
    told = run("check")
    assert still.format("remark: ") in told
    assert "pieces/pages/about.md:3:1: remark: 'My Name' is still the start file's" in told
    assert "no mistakes, 4 remarks" in told
    assert still.format("") in run("build", code=1)
    assert not (tmp_path / "site").exists()
    (pieces / "studio" / "outlets.yaml").write_text("fair: {kind: fair}\n")
    (pieces / "studio" / "yarns.yaml").write_text("grey: {fibre: wool, weight: 1 kg, cost: 9}\n")
    (pieces / "2026-001.yaml").write_text(
        "number: 2026-001\ntitle: First\nkind: scarf\nsize: 180 x 28 cm\nprice: 90\nat: fair\n"
        "yarns: [{use: warp and weft, lot: grey, weight: 190 g}]\nhours: {weaving: 6}\n"
        "finished: 2026-11-01\n"
    )
    for words in (("tags",), ("certificate", "2026-001"), ("papers", "fair"), ("quote", "--card")):
        assert still.format("") in run(*words, code=1), words
    assert [path.name for path in (pieces / "papers").iterdir()] == ["README.md"]
    text = (pieces / "studio" / "studio.yaml").read_text()
    text = text.replace("My Studio", "Brackenfold").replace("My Name", "Isla Wren")
    (pieces / "studio" / "studio.yaml").write_text(text)
    assert "1 tag on 1 sheet" in run("tags")
    assert "pages/about.md:3:1: 'My Name'" in run("build", code=1)  # pages go out with the site


def test_a_draft_with_words_of_the_start_file_holds_nothing_up(run, tmp_path):
    run("start", "studio", "--name", "Fold", "--maker", "Isla Wren")
    run("start", "piece")
    path = tmp_path / "pieces" / "2026-001.yaml"
    path.write_text(opened(path.read_text()))
    assert "remark: 'What it shows, in a sentence' is still the start file's" in run(
        "check", code=1
    )
    assert "still the start file's" not in run("tags")


def test_what_was_compiled_of_start_files_is_none_of_them(tmp_path, monkeypatch):
    """After the first `start piece` its compiled template lies beside the others."""
    known = start_words()
    shutil.copytree(shipped_templates() / "records", tmp_path / "records", dirs_exist_ok=True)
    compiled = tmp_path / "records" / "__pycache__"
    compiled.mkdir(exist_ok=True)
    (compiled / "piece.yaml.cpython-311.pyc").write_bytes(b"j2\x80\x02K\x05.")
    monkeypatch.setattr("provenance.build.start_words.shipped_templates", lambda: tmp_path)
    assert start_words.__wrapped__() == known


def test_pages_of_a_german_studio_are_german(run, tmp_path):
    run("start", "studio", "--language", "de", "--name", "Wollhaus", "--maker", "Jörg Müller")
    pages = tmp_path / "pieces" / "pages"
    assert "Jörg Müller spinnt, färbt und webt in der Werkstatt Wollhaus." in (
        (pages / "about.md").read_text(encoding="utf-8")
    )
    titles = [path.read_text(encoding="utf-8").split("\n")[0] for path in sorted(pages.iterdir())]
    assert titles == ["# Über die Werkstatt", "# Pflege", "# Vom Vlies zum Stoff"]


def test_a_new_studio_is_told_its_next_step(run, tmp_path):
    run("start", "studio")
    assert run() == (
        "My Studio, 25 November 2026\n"
        "  pieces/studio/studio.yaml:5: 'My Studio' is still the start file's; "
        "write your own, your pay too\n"
        "  write your first yarn into pieces/studio/yarns.yaml, and what it was spun from or cost; "
        "the notes there show how\n"
        "  begin the record of your first piece  ->  provenance start piece\n"
        "\nprovenance --help lists every command.\n"
    )


def test_what_is_there_is_never_written_over(run, tmp_path):
    run("start", "studio")
    studio = tmp_path / "pieces" / "studio"
    (studio / "yarns.yaml").write_text("mine: {fibre: wool, weight: 1 kg, cost: 9}\n")
    (studio / "outlets.yaml").unlink()
    assert run("start", "studio").startswith("pieces: 1 file that was missing\n")
    assert (studio / "yarns.yaml").read_text().startswith("mine:")
    assert "nothing was written" in run("start", "studio", code=1)


def test_wrong_wishes_are_wrong_usage(run, tmp_path):
    assert "three letters" in run("start", "studio", "--currency", "POUND", code=2)
    assert "such as en-GB" in run("start", "studio", "--language", "english", code=2)
    assert not (tmp_path / "pieces").exists()


def opened(text: str) -> str:
    """A record with every example line in use: the notes below its first empty line opened."""
    head, _, rest = text.partition("\n\n")
    lines = [re.sub(r"^( *)# (?=[ \w-])", r"\1", line) for line in rest.split("\n")]
    return "\n".join([head, "", *lines])


def test_the_examples_in_new_records_are_right_themselves(run, tmp_path):
    pieces = tmp_path / "pieces"
    run("start", "studio")
    run("start", "piece", "--title", "Ebb")
    run("start", "bath", "marsh green")
    run("start", "commission")
    records = list(pieces.rglob("*.yaml"))
    assert len(records) == 10
    for path in records:
        path.write_text(opened(path.read_text()))
    assert said(pieces) == [
        "pieces/2026-001-ebb.yaml:21:12: there is no photo '2026-001-whole.jpg'",
        "pieces/commissions/2026-C01.yaml:8:7: no piece called '2026-014'",
        "pieces/dyebook/2026-11-marsh-green.yaml:14:13: no bath called '2026-03-yellow'",
    ]
    book, _ = read_book(pieces)
    assert book.studio.week == 24
    lacks = [british().tell(words) for words in book.pieces["2026-001"].missing]
    assert lacks == ["being finished", "a kind"]
    assert book.yarns["grey-2ply"].weight == 480
    assert book.commissions["2026-C01"].pay_in


def test_what_is_ours_in_a_begun_record_is_in_the_makers_language(run, tmp_path):
    run("start", "studio", "--language", "de")
    lots = "".join(f"garn-{n}: {{fibre: wool, weight: 1 kg, cost: 10}}\n" for n in range(1, 11))
    (tmp_path / "pieces" / "studio" / "yarns.yaml").write_text(lots, encoding="utf-8")
    run("start", "piece")
    text = (tmp_path / "pieces" / "2026-001.yaml").read_text(encoding="utf-8")
    assert "\ntitle: Ohne Titel\n" in text
    assert "garn-7, garn-8 und 2 weitere\n" in text


def test_new_records_fit_their_schemas(run, tmp_path):
    run("start", "studio")
    run("start", "piece", "--kind", "rug")
    text = (tmp_path / "pieces" / "2026-001.yaml").read_text()
    assert text.startswith("# yaml-language-server: $schema=.schemas/piece.json\n")
    schema = schemas(british().words)["piece.json"]
    record = {"number": "2026-001", "title": "Untitled", "kind": "rug", "status": "in progress"}
    assert list(Draft202012Validator(schema).iter_errors(record)) == []


def test_pieces_get_the_next_number(run, tmp_path):
    run("start", "studio")
    assert run("start", "piece", "--title", "Saltmarsh, second") == (
        "pieces/2026-001-saltmarsh-second.yaml\n"
        "Fill in its yarns, hours and a photo; 'provenance check' says what is still wanted.\n"
    )
    assert run("start", "piece").startswith("pieces/2026-002.yaml\n")
    book, problems = read_book(tmp_path / "pieces")
    assert problems == ()
    assert [(number, piece.title) for number, piece in book.pieces.items()] == [
        ("2026-001", "Saltmarsh, second"),
        ("2026-002", "Untitled"),
    ]


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("2026-041.yaml", "number: 2026-041\ntitle: Ebb\n"),
        ("any name.yaml", "number: '2026-041'\ntitle: Ebb\n"),
        ("2026-041-broken.yaml", "title: [\n"),
        ("broken.yaml", "title: [\nnumber: 2026-041\n"),
        ("2026-041.yaml.txt", ""),
        ("2026-041.YML", ""),
        ("studio/printed.yaml", '- {on: 2026-01-02, paper: "tag", number: "2026-041"}\n'),
        ("commissions/2026-C01.yaml", "accepted: {on: 2026-11-02, piece: 2026-041}\n"),
    ],
)  # fmt: skip
def test_a_number_once_written_anywhere_is_taken(run, tmp_path, name, text):
    run("start", "studio")
    path = tmp_path / "pieces" / name
    path.write_text(text)
    (tmp_path / "pieces" / "2025-990.yaml").write_text("number: 2025-990\ntitle: Old\n")
    assert run("start", "piece").startswith("pieces/2026-042.yaml\n")


def test_no_number_is_given_while_the_list_of_printed_ones_is_broken(run, tmp_path):
    run("start", "studio")
    (tmp_path / "pieces" / "studio" / "printed.yaml").write_text(
        '- {on: 2026-01-02, number: "2026-041", broken\n'
    )
    for words in (("start", "piece"), ("start", "commission")):
        said = run(*words, code=1)
        assert said.startswith("studio/printed.yaml can't be read whole: see 'provenance check'\n")
        assert "'provenance recover' shows what it can put back" in said
    assert run("start", "bath").startswith("pieces/dyebook/")


def test_numbers_go_on_beyond_three_digits(run, tmp_path):
    run("start", "studio")
    (tmp_path / "pieces" / "2026-999.yaml").write_text("number: 2026-999\ntitle: Ebb\n")
    assert run("start", "piece").startswith("pieces/2026-1000.yaml\n")


def test_commissions_and_baths_get_names_of_their_own(run):
    run("start", "studio")
    assert run("start", "commission").startswith("pieces/commissions/2026-C01.yaml\n")
    assert run("start", "commission").startswith("pieces/commissions/2026-C02.yaml\n")
    assert run("start", "bath", "Marsh green").startswith(
        "pieces/dyebook/2026-11-marsh-green.yaml\n"
    )
    assert run("start", "bath", "marsh green").startswith(
        "pieces/dyebook/2026-11-marsh-green-2.yaml\n"
    )
    assert run("start", "bath").startswith("pieces/dyebook/2026-11-bath.yaml\n")


OLD = """\
# yaml-language-server: $schema=.schemas/piece.json
# The first of the marsh.
number: 2026-001                # for good
title: Saltmarsh
kind: hanging
# Measured off the loom.
size: 124 x 86 cm
weight: 590 g                   # with its bar
status: sold
yarns:
  # the weft first
  - {use: weft, lot: mine, weight: 412 g}     # all of it

  - {use: warp, lot: mine, weight: 180 g}
hours:
  weaving:
    - {on: 2026-08-03, for: 3 h}

  finishing: 2
price: 1450
at: harbour
sale: {on: 2026-11-02, price: 1450, buyer: {name: Someone Private}}
# What I thought:
story: |
  # not a note

  Of the marsh.
signed: wren, lower right
"""
NEW = """\
# yaml-language-server: $schema=.schemas/piece.json
# The first of the marsh.
number: 2026-002                # for good
title: "Ebb: second"
kind: hanging
status: in progress
# Measured off the loom.
# size: 124 x 86 cm
# weight: 590 g                   # with its bar
# yarns:
#   # the weft first
#   - {use: weft, lot: mine, weight: 412 g}     # all of it
#
#   - {use: warp, lot: mine, weight: 180 g}
# hours:
#   weaving:
#     - {on: 2026-08-03, for: 3 h}
#
#   finishing: 2
# price: 1450
signed: wren, lower right
"""


def test_a_piece_like_another_keeps_its_notes_and_none_of_its_facts(run, tmp_path):
    run("start", "studio")
    (tmp_path / "pieces" / "2026-001-saltmarsh.yaml").write_text(OLD)
    assert run("start", "piece", "--like", "2026-001", "--title", "Ebb: second") == (
        "pieces/2026-002-ebb-second.yaml\n"
        "Fill in what differs; 'provenance check' says what is still wanted.\n"
    )
    assert (tmp_path / "pieces" / "2026-002-ebb-second.yaml").read_text() == NEW


def test_like_needs_a_piece_whose_lines_can_be_told_apart(run, tmp_path):
    run("start", "studio")
    assert "there is no piece 2026-077" in run("start", "piece", "--like", "2026-077", code=1)
    (tmp_path / "pieces" / "2026-001.yaml").write_text("{number: 2026-001, title: Ebb}\n")
    assert "has several words in one line" in run("start", "piece", "--like", "2026-001", code=1)
    (tmp_path / "pieces" / "2026-003.yaml").write_text("number: 2026-003\ntitle: [\n")
    assert "can't be read" in run("start", "piece", "--like", "2026-003", code=1)


def test_every_demo_piece_can_be_followed():
    for path in sorted((Path(__file__).parents[2] / "pieces").glob("*.yaml")):
        problems = Problems()
        value = read_text(like_text(path, "2026-900", "Ebb").encode(), "new.yaml", problems)
        assert not list(problems)
        assert isinstance(value, Fields)
        assert (value["number"], value["title"], value["status"]) == (
            "2026-900", "Ebb", "in progress",
        )  # fmt: skip
        assert not {"photos", "sale", "story", "price", "hours", "size"} & set(value)


def test_nothing_is_started_where_there_are_no_records(run, tmp_path):
    assert "'provenance start studio' begins" in run("start", "piece", code=1)
    assert list(tmp_path.iterdir()) == []
