"""`tags` through the command line: where the sheets lie, what is noted and told, exit codes."""

import shutil
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner

from provenance.commands.main import main

STUDIO = """studio: Brackenfold
maker: Isla Wren
place: Eskrigg Dale
site: https://brackenfold.example
labels for: [UK]
origin: Made in England
pay: {any: 20}
tags: {stub: no}
"""
PIECE = """number: 2026-{number:03d}
title: {title}
kind: shawl
size: 190 x 60 cm
price: {price}
hours: {{weaving: 20}}
{more}
yarns:
  - {{use: weft, fleece: gotland, weight: 200 g, colour: "#527089"}}
"""
ADDRESS = "HTTPS://BRACKENFOLD.EXAMPLE/2026-00"


def write(folder, number, title="Ebb", price=640, more=""):
    text = PIECE.format(number=number, title=title, price=price, more=more)
    (folder / f"2026-{number:03d}.yaml").write_text(text, encoding="utf-8")


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795608000")  # 25 November 2026
    monkeypatch.chdir(tmp_path)
    folder = tmp_path / "pieces"
    (folder / "studio").mkdir(parents=True)
    outlets = "dale-fair: {kind: fair}\nquay: {kind: gallery}\n"
    fleece = "gotland: {breed: Gotland, weight: 20 kg, cost: 90}\n"
    for name, text in (("studio", STUDIO), ("outlets", outlets), ("fleece", fleece)):
        (folder / "studio" / f"{name}.yaml").write_text(text, encoding="utf-8")
    write(folder, 1, "Ebb", more="at: dale-fair")
    write(folder, 2, "Fret", 1450, "at: quay")
    write(folder, 3, "Haws", 185, "status: sold")
    return folder


def run(*words):
    return CliRunner().invoke(main, ["tags", *words])


def noted(folder):
    path = folder / "studio" / "printed.yaml"
    return path.read_text(encoding="utf-8") if path.is_file() else ""


def words_of(path):
    pages = pypdfium2.PdfDocument(path)
    return "\n".join(page.get_textpage().get_text_range() for page in pages)


def test_all_tags_for_sale(folder):
    answer = run()
    assert answer.exit_code == 0
    assert answer.stdout.splitlines() == [
        "2 tags on 1 sheet: pieces/papers/tags.pdf",
        "    print at 100 %, and hold a rule to the 100 mm in the margin before you cut",
        "  left out, sold: 2026-003",
    ]
    said = words_of(folder / "papers" / "tags.pdf")
    assert "2026-001" in said and "£1,450" in said and "2026-003" not in said
    lines = noted(folder).splitlines()
    assert len(lines) == 2
    assert lines[0].startswith(
        '- {on: 2026-11-25, paper: "tag", number: "2026-001", title: "Ebb", '
        f'address: "{ADDRESS}1/", price: "£640", digest: "'
    )
    assert "address" not in lines[1]  # a gallery's tag carries none


def test_printing_the_same_again_notes_nothing_new(folder):
    run()
    before = noted(folder), (folder / "papers" / "tags.pdf").read_bytes()
    assert run().exit_code == 0
    assert (noted(folder), (folder / "papers" / "tags.pdf").read_bytes()) == before


def test_only_the_changed_ones(folder):
    assert run("--changed").stdout.startswith("2 tags on 1 sheet")
    assert run("--changed").stdout.splitlines() == [
        "No tags to print.",
        "  left out, unchanged since it was printed: 2026-001, 2026-002",
        "  left out, sold: 2026-003",
    ]
    write(folder, 2, "Fret", 1400, "at: quay")
    answer = run("--changed")
    assert answer.stdout.startswith("1 tag on 1 sheet")
    said = words_of(folder / "papers" / "tags.pdf")
    assert "£1,400" in said and "2026-001" not in said
    assert [line.count("£1,400") for line in noted(folder).splitlines()] == [0, 0, 1]
    assert run("--changed").stdout.startswith("No tags to print.")


def test_tags_for_an_outlet(folder):
    answer = run("--for", "quay", "--stub")
    assert answer.stdout.splitlines()[0] == "1 tag on 1 sheet: pieces/papers/tags-quay.pdf"
    said = words_of(folder / "papers" / "tags-quay.pdf")
    assert said.count("2026-002") == 2 and "Isla Wren" in said


def test_numbers_in_the_order_they_are_given(folder):
    assert run("2026-002", "2026-001").exit_code == 0
    said = words_of(folder / "papers" / "tags.pdf")
    assert said.index("2026-002") < said.index("2026-001")


def test_a_sold_piece_prints_none_even_when_asked_for(folder):
    answer = run("2026-003")
    assert (answer.exit_code, answer.stdout) == (
        0, "No tags to print.\n  left out, sold: 2026-003\n",
    )  # fmt: skip
    assert not (folder / "papers").exists() and noted(folder) == ""


def test_a_character_without_letters_stops_that_tag_alone(folder):
    write(folder, 1, '"Ebb \U0001f411"', more="at: dale-fair")
    answer = run()
    assert answer.exit_code == 1
    assert answer.stdout.startswith("1 tag on 1 sheet")
    assert answer.stderr.splitlines()[-2:] == [
        "pieces/2026-001.yaml:2:8: our letters have no '\U0001f411' (U+1F411)",
        "    write it in words",
    ]
    assert "2026-001" not in noted(folder)


def test_without_a_site_there_is_no_code(folder):
    (folder / "studio" / "studio.yaml").write_text(
        STUDIO.replace("site: https://brackenfold.example\n", ""), encoding="utf-8"
    )
    answer = run("2026-001")
    assert answer.exit_code == 0
    assert answer.stdout.splitlines()[-1] == (
        "  no code on the tags: the studio file has no 'site'"
    )


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["2026-004"], 1, "there is no piece 2026-004. did you mean '2026-003'?"),
        (["--for", "quayy"], 1, "no outlet called 'quayy'. did you mean 'quay'?"),
        (["--from-cell", "9"], 2, "there is no cell 9 on this sheet\n    it has cells 1 to 8"),
        (["--from-cell", "0"], 2, "Invalid value for '--from-cell': 0 is not in the range x>=1."),
        (
            ["--size", "55 x 90"],
            2,
            "Invalid value for '--size': '55 x 90' is not a size: "
            "write width x height: 55 x 90 mm, or 2 x 3.5 in",
        ),
        (
            ["--sheet", "A44"],
            2,
            "Invalid value for '--sheet': 'A44' is no sheet of paper: did you mean 'A4'?; "
            "or a size such as 210 x 297 mm",
        ),
        (
            ["--shift", "20 mm right"],
            2,
            "Invalid value for '--shift': a shift of more than 10 mm: "
            "measure again, in millimetres",
        ),
        (
            ["--size", "20 x 30 mm"],
            1,
            "a tag of 20 x 30 mm is too small\n    30 x 40 mm at the least",
        ),
        (
            ["--size", "300 x 300 mm"],
            1,
            "a tag of 300 x 300 mm does not fit on A4\n"
            "    with its cut marks it needs 314 x 314 mm",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_said(folder, words, code, said):
    answer = run(*words)
    assert answer.exit_code == code
    assert said in answer.stderr
    assert not (folder / "papers").exists() and noted(folder) == ""


def test_the_demo_studio_prints(tmp_path, monkeypatch):
    demo = Path(__file__).parents[2] / "pieces"
    shutil.copytree(
        demo, tmp_path / "pieces", ignore=shutil.ignore_patterns("photos", "papers", ".printed")
    )
    monkeypatch.chdir(tmp_path)
    answer = run()
    assert answer.exit_code == 0 and "no room" not in answer.stdout
    said = words_of(tmp_path / "pieces" / "papers" / "tags.pdf")
    assert "Gotland and Wensleydale" in said and "Saltmarsh" in said
