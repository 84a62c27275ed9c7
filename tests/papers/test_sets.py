"""A set of six napkins on paper: a tag for each that is left, as each place wants it; counts on
sheets; the words of certificate and page.

Consigned: two at 38 less 45 % are 76.00, 34.20 for the gallery, 41.80 for the maker.
"""

from __future__ import annotations

import csv
import io
from datetime import date

import pypdfium2
import pytest
from PIL import Image

from provenance.build.outlets import outlet_papers
from provenance.build.tags import Wishes, print_tags
from provenance.build.tags_due import note_lines, tags_due
from provenance.figures.flow.gather import studio_flow
from provenance.papers.certificates.certificate import certificate_of
from provenance.press.pdf.codes import check_codes
from provenance.public.border import Border
from provenance.records.book import read_book
from provenance.studio import Studio
from tests.papers.set_only import set_only

DAY = date(2026, 11, 20)
STUDIO = """studio: Brackenfold
maker: Isla Wren
place: Eskrigg Dale
site: https://brackenfold.example
contact: {email: hello@brackenfold.example, post: "1 Wren Lane, Eskrigg Dale"}
public contact: [email, post]
labels for: [UK, EU]
pay: {any: 22}
"""
OUTLETS = """studio: {kind: studio}
quay: {kind: gallery, title: Quay Rooms, place: Sandrigg, commission: 45 %, shown on site: yes}
dale: {kind: fair, title: Dale Fair, dates: 2026-12-05 to 2026-12-06, fees: {stand: 40}}
"""
NAPKINS = """number: 2026-020
title: Napkins
kind: cloth
structure: plain weave
size: 42 x 42 cm
weight: 76 g
finished: 2026-10-01
makes: 6
yarns: [{use: warp and weft, lot: linen, weight: 460 g}]
hours: {weaving: 9}
price: 38
photos: [{file: one.jpg, view: whole, alt: "Six folded linen napkins"}]
"""
TWO_SOLD = """sales:
  - {on: 2026-11-01, price: 38, to: "Ada Fell, Leeds", consent: yes, buyer: {name: Ada Fell}}
  - {on: 2026-11-02, price: 36}
"""
RUNNER = NAPKINS.replace("2026-020", "2026-021").replace("Napkins", "Runner").replace(
    "makes: 6\n", ""
)  # fmt: skip


@pytest.fixture
def border(write_studio):
    def opened(words="", studio="", **files):
        folder = write_studio(
            {
                "studio/studio.yaml": STUDIO + studio,
                "studio/yarns.yaml": "linen: {fibre: linen, weight: 2 kg, cost: 80, "
                "colour: '#c9b48a'}\n",
                "studio/outlets.yaml": OUTLETS,
                "2026-020.yaml": NAPKINS + words,
                **files,
            }
        )
        (folder / "photos").mkdir(exist_ok=True)
        Image.new("RGB", (800, 600), "#c9b48a").save(folder / "photos" / "one.jpg")
        book, problems = read_book(folder)
        assert [each for each in problems if not each.is_remark] == []
        return Border(Studio(book, studio_flow(book), {}, DAY))

    return opened


def text_of(content):
    with pypdfium2.PdfDocument(content) as pdf:
        pages = [" ".join(page.get_textpage().get_text_range().split()) for page in pdf]
    return " ".join(pages)


def rows(content):
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"))))


def papers(border, name, only=None):
    """The papers of an outlet by name; `only` names the PDFs that are set."""
    with set_only(only):
        return {each.name: each.content for each in outlet_papers(border, name).papers}


@pytest.mark.parametrize(("words", "count"), [("", 6), (TWO_SOLD, 4)])
def test_a_tag_for_each_that_is_left(border, words, count):
    run = print_tags(border(words), Wishes())
    text = text_of(run.content)
    assert len(run.tags) == text.count("2026-020") == text.count("£38") == count
    assert check_codes(run.content, list(run.codes.values())) == count
    assert "each" not in text  # a tag hangs on one of them
    assert len(run.notes) == 1


def test_a_stub_for_each_tag(border):
    run = print_tags(border(TWO_SOLD), Wishes(stub=True))
    assert text_of(run.content).count("2026-020") == 8


def test_at_two_places_each_as_its_place_wants_it(border, tmp_path):
    """A gallery's tag carries no code; nothing is due once both kinds are printed."""
    there = border("at: {quay: 2, studio: 4}\n" + TWO_SOLD.replace("36", "36, at: studio"))
    assert [number for number, _ in tags_due(there)] == ["2026-020"]
    run = print_tags(there, Wishes())
    assert sorted(tag.words.variant for tag in run.tags) == ["gallery"] * 2 + ["own"] * 3
    printed = note_lines(there.studio, run.notes)
    assert printed.count("\n") == 2
    again = border(
        "at: {quay: 2, studio: 4}\n" + TWO_SOLD.replace("36", "36, at: studio"),
        **{"studio/printed.yaml": printed},
    )
    assert list(tags_due(again)) == []
    assert len(print_tags(again, Wishes(outlet="quay")).tags) == 2
    dearer = border(
        "at: {quay: 2, studio: 4}\n",
        **{"studio/printed.yaml": printed, "2026-020.yaml": NAPKINS.replace("38", "40")},
    )
    assert [number for number, _ in tags_due(dearer)] == ["2026-020"]


def test_none_left_no_tag(border):
    run = print_tags(border("sales: [{on: 2026-11-01, items: 6}]\n"), Wishes())
    assert (run.tags, [number for number, _ in run.left_out]) == ([], ["2026-020"])


def test_consigned_by_number_each_and_in_all(border):
    read = ["consignment.pdf", "statement.pdf", "wall-labels.pdf"]
    found = papers(border("at: {quay: 2, studio: 4}\n"), "quay", read)
    text = text_of(found["consignment.pdf"])
    assert text.count("2 of them, £38 each") == 2  # a copy for each
    assert text.count("Total, 2 pieces £76 £34.20 £41.80") == 2
    assert "One of six like pieces" in text
    assert [row["to the maker"] for row in rows(found["consignment.csv"])] == ["20.90"] * 2
    said = text_of(found["statement.pdf"])
    assert "2 of them, £38 each" in said
    assert "Total, 2 pieces £76 £41.80" in said
    label = text_of(found["wall-labels.pdf"])
    assert "Set of six, sold one by one" in label
    assert "£38 each" in label
    assert len(rows(found["statement.csv"])) == 2


def test_a_fair_takes_those_in_the_studio(border):
    """Four napkins and a runner at 38: five pieces, 190."""
    found = papers(border("at: {quay: 2, studio: 4}\n", **{"2026-021.yaml": RUNNER}), "dale")
    text = text_of(found["inventory.pdf"])
    assert text.count("Napkins, 4 of them") == text.count("Total, 5 pieces £190") == 2
    assert text.count("£38 each") == 2
    assert [row["number"] for row in rows(found["inventory.csv"])] == ["2026-020"] * 4 + [
        "2026-021"
    ]
    packed = text_of(found["packing-list.pdf"])
    assert "5 pieces" in packed
    assert "2026-020 Napkins, 4 of them 2026-021 Runner" in packed
    assert "4 of them" in text_of(found["price-list.pdf"])
    private = text_of(found["private-fair.pdf"])
    assert "Average price (5 pieces) £38" in private
    assert "If everything is sold 5 pieces £190" in private
    assert private.count("2026-020") == 1 + 4  # a line for each stub


def test_a_certificate_is_of_one_and_names_no_buyer(border):
    there = border(TWO_SOLD)
    said = certificate_of(there.house, there.piece("2026-020"))
    assert said.kind_line == "Cloth, 2026. One of six like pieces."
    assert said.provenance == "Isla Wren, Eskrigg Dale, 2026."
    rows = {row.label: row.lines for row in said.record}
    assert rows["Measurements"][0].endswith("; 76 g") and rows["Bought yarn"] == ("Linen 76 g",)


@pytest.mark.parametrize(
    ("words", "availability"),
    [
        ("", "Set of six, sold one by one"),
        ("at: quay\n", "Set of six, sold one by one, at the Quay Rooms"),
        (TWO_SOLD, "Set of six, sold one by one; four left"),
        (
            "at: {quay: 1, studio: 3}\n" + TWO_SOLD,
            "Set of six, sold one by one; four left: one at the Quay Rooms",
        ),
        ("sales: [{on: 2026-11-01, items: 6}]\n", "Sold"),
        ("status: not for sale\n", "Not for sale"),
    ],
)
def test_where_it_stands(border, words, availability):
    facts = border(words).piece("2026-020")
    assert (facts.availability, facts.price_each) == (availability, "£38 each")


def test_in_german(border):
    facts = border(TWO_SOLD, studio="language: de\n").piece("2026-020")
    assert facts.availability == "Sechs gleiche Stücke, einzeln zu haben; noch vier"
    assert (facts.edition, facts.price_each) == (
        "Eines von sechs gleichen Stücken", "je 38\xa0£"
    )  # fmt: skip


def test_a_large_set_is_told_in_figures(border):
    facts = border(**{"2026-020.yaml": NAPKINS.replace("makes: 6", "makes: 24")}).piece("2026-020")
    assert facts.set_line == "Set of 24, sold one by one"


def test_a_single_piece_says_nothing_of_sets(border):
    facts = border(**{"2026-021.yaml": RUNNER}).piece("2026-021")
    assert (facts.set_line, facts.edition, facts.price_each) == ("", "", "£38")


def test_the_label_rule_of_sets(border):
    """Regulation (EU) No 1007/2011 Art. 11(3)."""
    studio = border(**{"2026-021.yaml": RUNNER}).studio
    told = {
        number: [
            market
            for market, label in studio.piece(number).labels.items()
            if any("set" in prompt.key for prompt in label.prompts)
        ]
        for number in ("2026-020", "2026-021")
    }
    assert told == {"2026-020": ["UK", "EU"], "2026-021": []}
