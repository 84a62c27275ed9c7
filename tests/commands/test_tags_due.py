"""When a printed tag is untrue: what was noted of it against what it would say now."""

import pypdfium2
import pytest
from click.testing import CliRunner

from provenance.commands.main import main

STUDIO = """\
studio: Brackenfold
maker: Isla Wren
site: https://brackenfold.example
labels for: [UK]
pay: {any: 20}
"""
PIECE = """\
number: 2026-001
title: Ebb
kind: shawl
size: 190 x 60 cm
price: 640
hours: {weaving: 20}
yarns: [{use: weft, fleece: gotland, weight: 200 g}]
"""
OUTLETS = ("gallery", "guild", "fair")
DUE = "  1 tag to print: 2026-001 {}  ->  provenance tags --changed"


@pytest.fixture
def folder(write_studio, tmp_path, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795608000")  # 25 November 2026
    monkeypatch.chdir(tmp_path)
    return write_studio(
        {
            "studio/studio.yaml": STUDIO,
            "studio/fleece.yaml": "gotland: {breed: Gotland, weight: 20 kg, cost: 90}\n",
            "studio/outlets.yaml": "".join(f"{kind}: {{kind: {kind}}}\n" for kind in OUTLETS),
            "2026-001.yaml": PIECE,
        }
    )


def change(folder, name, old, new):
    path = folder / name
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def run(*words):
    answer = CliRunner().invoke(main, words)
    assert answer.exit_code == 0, answer.output
    return answer.stdout


def due():
    """Why the tag is due, as bare `provenance` tells it; nothing when it is true."""
    lines = [line for line in run().splitlines() if " to print: " in line]
    return lines[0] if lines else ""


def words_of(path):
    pages = pypdfium2.PdfDocument(path)
    return "\n".join(page.get_textpage().get_text_range() for page in pages)


def noted(folder):
    """What the lines say, without what ties each to those before it."""
    lines = (folder / "studio" / "printed.yaml").read_text(encoding="utf-8").splitlines()
    return [line.rpartition(", chain: ")[0] for line in lines]


@pytest.mark.parametrize(
    ("name", "old", "new", "why"),
    [
        ("2026-001.yaml", "price: 640", "price: 700", "price was £640, is £700"),
        ("2026-001.yaml", "title: Ebb", "title: Fret", "title was Ebb, is Fret"),
        ("2026-001.yaml", "190 x 60", "200 x 60", "its words have changed"),
        (
            "studio/studio.yaml",
            "brackenfold.example",
            "fold.example",
            "address was HTTPS://BRACKENFOLD.EXAMPLE/2026-001/, "
            "is HTTPS://FOLD.EXAMPLE/2026-001/",
        ),
        (
            "studio/studio.yaml",
            "site: https://brackenfold.example\n",
            "",
            "address was HTTPS://BRACKENFOLD.EXAMPLE/2026-001/, is left off",
        ),
        (
            "2026-001.yaml",
            "title: Ebb\nkind: shawl\nsize: 190 x 60 cm\nprice: 640",
            "title: Fret\nkind: shawl\nsize: 200 x 60 cm\nprice: 700",
            "price was £640, is £700; title was Ebb, is Fret",
        ),
    ],
)  # fmt: skip
def test_why_a_printed_tag_is_untrue(folder, name, old, new, why):
    run("tags")
    assert due() == ""
    change(folder, name, old, new)
    assert due() == DUE.format(why)
    run("tags", "--changed")
    assert due() == ""


def test_a_code_that_comes_is_no_change_of_words(folder):
    """The digest is of the words; address and price are noted beside it."""
    change(folder, "studio/studio.yaml", "site: https://brackenfold.example\n", "")
    run("tags")
    (before,) = noted(folder)
    assert "address" not in before
    change(folder, "studio/studio.yaml", "maker:", "site: https://brackenfold.example\nmaker:")
    assert due() == DUE.format("address was not on it, is HTTPS://BRACKENFOLD.EXAMPLE/2026-001/")
    run("tags", "--changed")
    after = noted(folder)[1]
    assert after.replace(' address: "HTTPS://BRACKENFOLD.EXAMPLE/2026-001/",', "") == before


def test_a_price_that_changes_is_no_change_of_words(folder):
    run("tags")
    change(folder, "2026-001.yaml", "price: 640", "price: 700")
    run("tags", "--changed")
    before, after = noted(folder)
    assert after == before.replace("£640", "£700")


@pytest.mark.parametrize("outlet", ["gallery", "guild"])
def test_another_outlets_tag_is_another_tag(folder, outlet):
    run("tags")
    change(folder, "2026-001.yaml", "kind: shawl", f"kind: shawl\nat: {outlet}")
    assert due() == DUE.format("address was HTTPS://BRACKENFOLD.EXAMPLE/2026-001/, is left off")
    change(folder, "2026-001.yaml", f"at: {outlet}", "at: fair")
    assert due() == ""  # a fair gets the studio's own


@pytest.mark.parametrize("tax", ["included 20 %", "added 8 %"])
def test_tax_stands_where_a_price_stands(folder, tax):
    change(folder, "studio/studio.yaml", "pay:", f"prices: {{tax: {tax}}}\npay:")
    share = tax.split(" ", 1)[1].replace(" ", "")
    run("tags", "2026-001")
    said = "".join(words_of(folder / "papers" / "tags.pdf").split())
    assert share in said and "£640" in said
    change(folder, "2026-001.yaml", "price: 640", "price: 640\nstatus: not for sale")
    run("tags", "2026-001")
    said = "".join(words_of(folder / "papers" / "tags.pdf").split())
    assert "Notforsale" in said and share not in said and "640" not in said


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ("status: sold", "sold"),
        ("sale: {on: 2026-11-01}", "sold"),
        ("sale: {on: 2026-11-01}\nstatus: available", "sold"),
        ("sale: {on: 2026-11-01}\nstatus: withdrawn", "withdrawn"),
        ("status: withdrawn", "withdrawn"),
        ("status: in progress", "still being made"),
    ],
)
def test_no_tag_and_why(folder, more, why):
    change(folder, "2026-001.yaml", "price: 640", f"price: 640\n{more}")
    assert run("tags", "2026-001") == f"No tags to print.\n  left out, {why}: 2026-001\n"
    assert due() == ""
