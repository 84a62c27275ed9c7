"""Fibre, light, care, price and state are told once: no paper of a piece contradicts another.

Every demo piece on its tag, certificate, wall label, consignment sheet, inventory, in JSON and on
its page. Then papers for several markets: Regulation (EU) 2023/988 Art. 9(6), 16(1), 19;
Regulation (EU) No 1007/2011 Art. 12, 16; 15 USC 70b.
"""

from __future__ import annotations

import html
import json
import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path

import pypdfium2
import pytest

from provenance.build.outlets import choose, outlet_papers
from provenance.build.tags_due import words_for
from provenance.figures.flow.gather import studio_flow
from provenance.papers.certificates.certificate import Certificate, certificate_of
from provenance.papers.sheets.fair import price_list
from provenance.papers.sheets.frame import Display
from provenance.papers.tags.words import TagWords, tag_words
from provenance.public.border import Border
from provenance.public.piece import PublicPiece
from provenance.records.book import read_book
from provenance.studio import Studio
from tests.papers.letters_on import palest, smallest
from tests.papers.set_only import set_only

ROOT = Path(__file__).parents[2]
DAY = date(2026, 11, 25)
WRITE = Callable[[dict[str, str]], Path]


def border_of(folder: Path) -> Border:
    book, _ = read_book(folder)
    return Border(Studio(book, studio_flow(book), {}, DAY))


@pytest.fixture(scope="module")
def demo() -> Border:
    return border_of(ROOT / "pieces")


def told_on(demo: Border, number: str) -> tuple[PublicPiece, TagWords, Certificate]:
    """A piece in public, on its tag and on its certificate, as it is printed where it is."""
    there = demo.at_outlet_of(number)
    piece = demo.studio.piece(number).record
    outlet = demo.book.outlets.get(piece.at) if piece.at else None
    return there.piece(number), words_for(demo, piece, outlet), _certificate(there, number)


def _certificate(there: Border, number: str) -> Certificate:
    return certificate_of(there.house, there.piece(number))


NUMBERS = [path.name[:8] for path in sorted((ROOT / "pieces").glob("2*.yaml"))]
COSTED = [number for number in NUMBERS if number not in ("2026-016", "2026-017")]


def medium_of(certificate: Certificate) -> str:
    (row,) = (row for row in certificate.record if row.label == "Materials and techniques")
    return row.lines[0]


@pytest.mark.parametrize("number", COSTED)
def test_tag_and_certificate_agree(demo: Border, number: str) -> None:
    facts, tag, certificate = told_on(demo, number)
    label = tag.text["fibres"].replace("\n", "; ")
    assert label == facts.label
    assert medium_of(certificate).startswith(label)  # what is more is called the whole piece
    more = medium_of(certificate).removeprefix(label).split(";")[0]
    assert not more or "whole piece, hidden warp included" in more or "ground and warp" in more
    # Of light the tag says what the certificate ends in, and nothing else.
    care = tag.text["care"].replace("Dry flat in shade.", "")
    assert facts.short_light in care
    assert not re.search("[Ss]un|[Ll]ight|[Ss]had", care.replace(facts.short_light, ""))
    if demo.studio.piece(number).dyes:
        assert certificate.light.endswith(facts.short_light)
    else:
        assert certificate.light.startswith("No dye to fade") and "No dye to fade" in care
    # What is washed is not to be kept dry, nor the other way round.
    for care in (tag.text["care"], certificate.care):
        assert not (re.search(r"[Ww]ash (?:seldom|warm|cool)|[Hh]and wash", care)
                    and re.search(r"[Kk]eep (?:it )?dry", care))  # fmt: skip
    assert tag.text.get("price", "") in (facts.price, facts.availability)


@pytest.mark.parametrize("number", COSTED)
def test_bought_yarn_is_told_on_tag_and_certificate(demo: Border, number: str) -> None:
    _, tag, certificate = told_on(demo, number)
    is_bought = any(strand.is_bought for strand in demo.studio.piece(number).strands)
    assert is_bought == any(row.label == "Bought yarn" for row in certificate.record)
    spun = demo.piece(number).content.spun
    assert ("bought" in spun) is (is_bought and bool(spun))
    assert tag.text.get("fleece", spun) == spun


def test_the_words_of_the_findings(demo: Border) -> None:
    numbers = ("2026-007", "2025-024", "2026-013")
    spun = {number: demo.piece(number).content.spun for number in numbers}
    assert spun == {
        "2026-007": "Gotland fleece: weft spun by hand, warp bought",
        "2025-024": "Shetland and Bluefaced Leicester fleece: weft spun by hand, warp bought",
        "2026-013": "Gotland fleece and mohair, spun by hand",  # not "Angora goat"
    }
    assert demo.piece("2025-021").label == "Use-surface: 100 % wool"
    assert demo.piece("2025-021").fibres == (
        "Use-surface: 100 % wool (whole piece, hidden warp included: 93 % wool, 7 % cotton)"
    )


def text_of(content: bytes) -> str:
    with pypdfium2.PdfDocument(content) as pdf:
        pages = [page.get_textpage().get_text_range() for page in pdf]
    return " ".join(" ".join(pages).split())


Outlets = dict[str, tuple[Display, Mapping[str, bytes]]]
WITH_MEDIUM = ("wall-labels", "consignment", "price-list")


@pytest.fixture(scope="module")
def outlets(demo: Border, demo_papers: Mapping[str, Mapping[str, bytes]]) -> Outlets:
    """What is at a gallery and a fair, and all papers about it."""
    names = ("harbour-gallery", "dale-fair")
    return {name: (_display(demo, name), demo_papers[name]) for name in names}


def _display(demo: Border, name: str) -> Display:
    outlet = demo.studio.outlet(name)
    there = demo.speaking(outlet)
    numbers = [str(each.number) for each in choose(demo.studio, outlet).pieces]
    return Display(there.house, tuple(map(there.piece, numbers)), there.outlet(name))


def test_no_paper_contradicts_another(demo: Border, outlets: Outlets) -> None:
    """Number, price, size and fibres of a piece, wherever it is printed."""
    compared = set()
    for display, made in outlets.values():
        papers = {name.removesuffix(".pdf"): text_of(content)
                  for name, content in made.items() if name.endswith(".pdf")}  # fmt: skip
        for facts in display.pieces:
            _, tag, certificate = told_on(demo, facts.number)
            assert facts.number == tag.number == certificate.number
            assert tag.text["price"] == facts.price
            assert tag.text["size"] == f"{facts.size_cm}\n{facts.size_in}"
            assert certificate.facts[:2] == (facts.size, facts.label)
            assert tag.text["fibres"].replace("\n", "; ") == facts.label
            for name, text in papers.items():
                if name.startswith("private-") or facts.number not in text:
                    continue
                after = text.partition(facts.number)[2] + text.partition(facts.number)[0]
                assert facts.title in text and not re.search(r"\d \d{3} ?£|£\d+ \d{3}\b", text)
                assert name in ("condition", "packing-list") or facts.price in after, name
                if name in WITH_MEDIUM:
                    assert facts.size in text and facts.label in text, name
                compared.add(name)
    assert {*WITH_MEDIUM, "inventory", "condition", "statement"} <= compared


def test_what_leaves_the_house_is_black_and_8_points_at_least(
    outlets: Outlets,
) -> None:
    for outlet, (_, papers) in outlets.items():
        for name, content in papers.items():
            if name.endswith(".pdf") and not name.startswith("private-"):
                assert smallest(content) >= 8, (outlet, name)
                assert palest(content) == 0, (outlet, name)


def test_a_gallery_prints_the_same(outlets: Outlets) -> None:
    display, made = outlets["harbour-gallery"]
    papers = {name: text_of(content) for name, content in made.items() if ".pdf" in name}
    for facts in display.pieces:
        for name in ("wall-labels.pdf", "consignment.pdf"):
            assert facts.fibres in papers[name], (facts.number, name)
            assert facts.price in papers[name]


def test_the_price_list_speaks_of_stubs_only_where_tags_have_them(
    demo: Border, outlets: Outlets
) -> None:
    display, _ = outlets["dale-fair"]
    for has_stub in (True, False):
        outlet = replace(display.outlet, has_stub=has_stub)
        (paper, _) = price_list(replace(display, outlet=outlet))
        assert ("Cut the stub off the tag" in text_of(paper.content)) == has_stub
        assert ("into the receipt book" in text_of(paper.content)) or has_stub
    assert display.outlet.has_stub  # at a fair


def test_the_page_says_the_same(demo: Border, demo_site: Path) -> None:
    for number in COSTED:
        facts = demo.piece(number)
        page = demo_site / number / "index.html"
        words = " ".join(re.sub(r"<[^>]+>", " ", html.unescape(page.read_text("utf-8"))).split())
        price = facts.price if facts.shows_price and facts.for_sale else facts.title
        for said in (facts.number, facts.size_cm, facts.size_in, facts.fibres, price):
            assert said in words, (number, said)
        assert json.loads((page.parent / "piece.json").read_text("utf-8"))["fibre"] == facts.fibres


STUDIO = """
studio: Hollow Wren
maker: Isla Wren
place: Eskrigg Dale
site: https://brackenfold.example
contact: {email: hello@brackenfold.example, post: "1 Wren Lane, Eskrigg Dale, CA0 0AA"}
public contact: [email, post]
labels for: [US, EU, UK]
origin: Made in England
responsible person: "Ida Holm, 2 Strandgade, 1401 Havn, Denmark, ida@holm.example"
"""
YARNS = """
wool: {fibre: wool, weight: 9 kg, cost: 9}
silk: {fibre: silk, weight: 9 kg, cost: 9}
"""
OUTLETS = """
quay: {kind: gallery, commission: 40 %, labels for: [US]}
ebbe: {kind: gallery, commission: 40 %, labels for: [EU], language: de}
"""
PIECE = """
number: 2026-00{n}
title: Piece {n}
kind: shawl
size: 180 x 60 cm
weight: 300 g
yarns:
  - {{use: weft, lot: wool, weight: {wool} g, waste: 0 g}}
  - {{use: warp, lot: silk, weight: {silk} g, waste: 0 g}}
sundries: {{toggle: {n}}}
hours: {{weaving: 10}}
price: 200
{more}
"""


@pytest.fixture
def three_markets(write_studio: WRITE) -> Border:
    pieces = {
        "2026-001.yaml": PIECE.format(n=1, wool=290, silk=10, more=""),
        "2026-002.yaml": PIECE.format(n=2, wool=200, silk=100, more="at: quay"),
        "2026-003.yaml": PIECE.format(n=3, wool=200, silk=100, more="at: ebbe"),
    }
    lots = {"studio/yarns.yaml": YARNS, "studio/outlets.yaml": OUTLETS}
    sundries = {"studio/sundries.yaml": "toggle: {each: 1.00, material: horn}\n"}
    return border_of(write_studio({"studio/studio.yaml": STUDIO, **lots, **sundries, **pieces}))


def tag_at(border: Border, number: str) -> dict[str, str]:
    piece = border.studio.piece(number).record
    outlet = border.book.outlets.get(piece.at) if piece.at else None
    return dict(words_for(border, piece, outlet).text)


def test_every_market_is_printed_where_they_differ(three_markets: Border) -> None:
    # 15 USC 70b(b): silk under 5 % is "other fiber" in the US; Reg. Art. 9(1): named in the EU
    assert tag_at(three_markets, "2026-001")["fibres"].split("\n") == [
        "US: 97% Wool / 3% Other Fiber. Contains non-textile parts of animal origin",
        "EU, UK: 97 % wool, 3 % silk. Contains non-textile parts of animal origin",
    ]


def test_an_outlet_has_its_own_market(three_markets: Border) -> None:
    assert tag_at(three_markets, "2026-002")["fibres"].startswith("67% Wool / 33% Silk.")
    # Reg. Art. 16(3): in the language of the country; Art. 12 word for word
    there = three_markets.at_outlet_of("2026-003")
    german = "67 % Wolle, 33 % Seide. Enthält nichttextile Teile tierischen Ursprungs"
    assert tag_at(three_markets, "2026-003")["fibres"] == german
    certificate = _certificate(there, "2026-003")
    assert any(german in line for row in certificate.record for line in row.lines)


def test_addresses_stand_on_the_tag_where_the_law_asks(three_markets: Border) -> None:
    # Reg. (EU) 2023/988 Art. 9(6): postal and electronic address; 16(1): somebody in the EU
    own = tag_at(three_markets, "2026-001")
    assert own["address"] == "1 Wren Lane, Eskrigg Dale, CA0 0AA, hello@brackenfold.example"
    assert own["responsible"] == (
        "In the EU: Ida Holm, 2 Strandgade, 1401 Havn, Denmark, ida@holm.example"
    )
    house = three_markets.at_outlet_of("2026-002").house  # for the US alone
    assert (house.address, house.responsible) == ("", "")
    assert "address" not in tag_at(three_markets, "2026-002")


def test_a_sheet_for_the_eu_names_who_answers_there(three_markets: Border) -> None:
    # Art. 16(3): on the product, its packaging, the parcel or an accompanying document
    with set_only(["consignment.pdf"]):
        made = {
            name: text_of(paper.content)
            for name in ("ebbe", "quay")
            for paper in outlet_papers(three_markets, name).papers
            if paper.name == "consignment.pdf"
        }
    assert "Ida Holm, 2 Strandgade" in made["ebbe"] and "Ida Holm" not in made["quay"]
    assert "1 Wren Lane" in made["ebbe"] and "hello@brackenfold.example" in made["ebbe"]


def test_a_private_address_stays_private(write_studio: WRITE) -> None:
    studio = STUDIO.replace("[email, post]", "[email]")
    files = {"studio/studio.yaml": studio, "studio/yarns.yaml": YARNS}
    piece = PIECE.format(n=1, wool=290, silk=10, more="").replace("sundries: {toggle: 1}\n", "")
    border = border_of(write_studio({**files, "2026-001.yaml": piece}))
    assert "address" not in tag_words(border.piece("2026-001"), border.house).text
