"""A German outlet of a British studio: what goes there is put together as German is, not as English
with other words; what the maker wrote stays as it is."""

from __future__ import annotations

import tomllib
from datetime import date
from pathlib import Path

import pypdfium2
import pytest
from PIL import Image

from provenance.build.certificates import certificates_due, issue_certificates
from provenance.build.outlets import outlet_papers
from provenance.figures.colour.plain import plain_colour
from provenance.figures.fibre.claims import Facts, claims_in
from provenance.figures.flow.gather import studio_flow
from provenance.language.phrases import phrases_for
from provenance.papers.format import format_for
from provenance.papers.tags.words import tag_words
from provenance.public.border import Border
from provenance.public.dealings import dealing
from provenance.public.piece import PublicPiece
from provenance.public.quotation.client import inside
from provenance.records.book import read_book
from provenance.reference.loader import table
from provenance.reports.dye_book import dye_book
from provenance.studio import Studio
from tests.papers.set_only import set_only

ROOT = Path(__file__).parents[2]
GERMAN = phrases_for("de", "EUR", {}, None)
BRITISH = phrases_for("en-GB", "GBP", {}, None)
STUDIO = """\
studio: Brackenfold
maker: Isla Wren
language: {language}
currency: GBP
labels for: {markets}
pay: {{any: 18.00}}
prices: {{tax: included 20 %}}
"""
RECORDS = {
    "studio/fleece.yaml": """\
gotland-2025: {breed: Gotland, fibre: wool, weight: 3 kg, cost: 66.00}
wensleydale-2025: {breed: Wensleydale, fibre: wool, weight: 3 kg, cost: 66.00}
""",
    "studio/yarns.yaml": """\
gotland-2ply: {fleece: {gotland-2025: 1 kg}, weight: 900 g, hours: {spinning: 26}}
wensleydale-2ply: {fleece: {wensleydale-2025: 1 kg}, weight: 900 g, hours: {spinning: 26}}
Leinenkette: {fibre: linen, weight: 1 kg, cost: 41.00}
""",
    "studio/dyestuffs.yaml": "weld: {weight: 900 g, cost: 0}\n",
    "studio/mordants.yaml": "alum: {weight: 1 kg, cost: 9.50}\n",
    "dyebook/marsh.yaml": """\
dyed: [{yarn: Leinenkette, weight: 420 g, becomes: Ginsterkette, colour: "#c3a23c"}]
steps: [{mordants: {alum: 12 %}}, {dyes: {weld: 60 %}}]
""",
    "studio/outlets.yaml": """\
galerie-ebbe: {kind: gallery, language: LANGUAGE, commission: 42.5 %, terms: {term: 1 year}}
""",
    "2026-014-saltmarsh.yaml": """\
number: 2026-014
title: Saltmarsh
kind: hanging
finished: 2026-09-14
price: 1450
size: 124 x 86 cm
weight: 640 g
at: galerie-ebbe
yarns:
  - {use: weft, lot: gotland-2ply, weight: 300 g}
  - {use: weft, lot: wensleydale-2ply, weight: 200 g}
  - {use: warp, lot: Leinenkette, weight: 100 g}
  - {use: warp, lot: Ginsterkette, weight: 40 g}
hours: {weaving: 61}
photos: [{file: front.jpg, view: whole, alt: Wattwiesen}]
""",
}


def border_of(
    folder: Path, language: str = "de", own: str = "en-GB", markets: str = "[UK, EU]"
) -> Border:
    studio = {"studio/studio.yaml": STUDIO.format(language=own, markets=markets)}
    for name, text in {**RECORDS, **studio}.items():
        path = folder / "pieces" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text.replace("LANGUAGE", language), encoding="utf-8")
    (folder / "pieces" / "photos").mkdir()
    Image.new("RGB", (1200, 1500), "#c3a23c").save(folder / "pieces" / "photos" / "front.jpg")
    return border_in(folder / "pieces")


def border_in(records: Path) -> Border:
    book, problems = read_book(records)
    assert book is not None
    assert [each for each in problems if not each.is_remark] == []
    return Border(Studio(book, studio_flow(book), {}, date(2026, 11, 20)))


def facts_in(border: Border) -> PublicPiece:
    return border.at_outlet_of("2026-014").piece("2026-014")


def text_of(content: bytes) -> str:
    document = pypdfium2.PdfDocument(content)
    return "\n".join(page.get_textpage().get_text_range() for page in document)


@pytest.mark.parametrize(
    ("language", "bought"), [("de", "Leinenkette 140 g"), ("en-GB", "Leinenkette 140 g")]
)
def test_a_line_of_bought_yarn_begins_with_a_capital(
    tmp_path: Path, language: str, bought: str
) -> None:
    assert facts_in(border_of(tmp_path, language)).bought == bought


def test_a_lot_keeps_its_capital_inside_a_german_sentence_alone(tmp_path: Path) -> None:
    book = border_of(tmp_path, "de").studio.book
    assert inside(GERMAN, book, "Leinen-Kette") == "Leinen Kette"
    assert inside(BRITISH, book, "Linen-warp") == "linen warp"


def test_colours_are_told_in_plain_words_of_the_language() -> None:
    told = {language: [phrases.opening(plain_colour(each)) for each in ("#2e4257", "#7d8c5c")]
            for language, phrases in (("de", GERMAN), ("en-GB", BRITISH))}  # fmt: skip
    assert told == {"de": ["Dunkelblau", "Olivgrün"], "en-GB": ["Dark blue", "Olive green"]}


def test_the_dye_book_of_a_german_studio(tmp_path: Path) -> None:
    border = border_of(tmp_path, own="de")
    text = text_of(dye_book(border).content)
    assert "Goldgelb" in text
    assert "Leinenkette" in text and "leinenkette" not in text


def test_fleece_is_said_once_on_a_tag(tmp_path: Path) -> None:
    for language, said in (
        ("de", "Vlies Gotland und Wensleydale: Schuss handgesponnen, Kette gekauft"),
        ("en-GB", "Gotland and Wensleydale fleece: weft spun by hand, warp bought"),
    ):
        border = border_of(tmp_path / language, language)
        there = border.at_outlet_of("2026-014")
        assert tag_words(facts_in(border), there.house).text["fleece"] == said


def test_a_tag_has_the_label_of_the_market_whose_language_it_speaks(tmp_path: Path) -> None:
    # Regulation (EU) 1007/2011, Art. 16(3); labels for the UK and the US are English.
    made = {
        (own, language, markets): facts_in(
            border_of(tmp_path / f"{own}{language}{len(markets)}", language, own, markets)
        ).label
        for own, language, markets in (
            ("en-GB", "de", "[UK, EU]"),
            ("en-GB", "de", "[UK]"),
            ("en-GB", "en-US", "[UK, EU]"),
            ("de", "de", "[UK, EU]"),
        )
    }
    assert list(made.values()) == [
        "78 % Wolle, 22 % Leinen",
        "78 % wool, 22 % linen",
        "78 % wool, 22 % linen",
        "UK: 78 % wool, 22 % linen; EU: 78 % Wolle, 22 % Leinen",
    ]


def test_heads_of_the_consignment_sheet_are_nouns(tmp_path: Path) -> None:
    for language, heads in (
        ("de", "Titel, Material, Maße, Auflage"),
        ("en-GB", "Title, medium, size, edition"),
    ):
        with set_only(["consignment.pdf"]):
            made = outlet_papers(border_of(tmp_path / language, language), "galerie-ebbe")
        sheet = next(paper for paper in made.papers if paper.name == "consignment.pdf")
        text = " ".join(text_of(sheet.content).split())
        assert heads in text


def test_terms_that_are_open_are_quoted_as_the_language_quotes(tmp_path: Path) -> None:
    with set_only([]):
        made = outlet_papers(border_of(tmp_path), "galerie-ebbe")
    said = next(each for each in made.remarks if each.key == "outlet.open_terms")
    assert GERMAN.tell(said) == (
        "auf der Kommissionsliste offen gelassen, weil die Bedingungen es nicht sagen: "
        "„payment“, „discount“, „insured from“, „freight“"
    )
    assert BRITISH.tell(said) == (
        "left open on the consignment sheet, as the terms don't say it: "
        "'payment', 'discount', 'insured from', 'freight'"
    )


@pytest.mark.parametrize(
    ("language", "commission", "tax"),
    [("de", "42,5 %", "20 %"), ("en-GB", "42.5 %", "20 %"), ("en-US", "42.5%", "20%")],
)
def test_shares_have_the_form_of_the_language(
    tmp_path: Path, language: str, commission: str, tax: str
) -> None:
    border = border_of(tmp_path, language)
    there = border.at_outlet_of("2026-014")
    deal = dealing(there, border.studio.outlet("galerie-ebbe"), [border.studio.piece("2026-014")])
    assert (deal.commission, there.house.tax_share) == (commission, tax)


def test_a_certificate_for_a_german_gallery_is_german(tmp_path: Path) -> None:
    border = border_of(tmp_path)
    assert certificates_due(border) == ("2026-014",)
    (issued,) = issue_certificates(border, ["2026-014"], format_for(border.house))
    assert issued.path is not None
    text = text_of(issued.path.read_bytes())
    assert "Wandbehang, 2026" in text and "Unikat" not in text  # no edition is written
    assert "Fotos Ganzansicht" in " ".join(text.split())
    assert certificates_due(border_in(tmp_path / "pieces")) == ()


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("Mottenfest.",
         "Wolle wird von Motten gefressen; ein Mittel dagegen ist ein Biozid mit eigenen Regeln"),
        ("Aus reiner Wolle.", "„rein“ (pure) steht nur bei einer einzigen Faser"),
    ],
)  # fmt: skip
def test_claims_in_a_german_story_are_noticed_and_answered_in_german(
    text: str, reason: str
) -> None:
    (claim,) = claims_in(text, Facts(frozenset({"wool", "linen"})))
    assert GERMAN.tell(claim.reason) == reason


def test_claims_know_the_german_names_of_the_fibres_they_look_for() -> None:
    """Those of the language's own list, and others that makers write."""
    known = table("claims")["german"]
    names = tomllib.loads(
        (ROOT / "provenance" / "language" / "de" / "fibres.toml").read_text(encoding="utf-8")
    )["fibre"]
    for fibre in set(known.values()):
        meant = [word for word, name in known.items() if name == fibre]
        assert any(word.startswith(names[fibre].lower()) for word in meant), fibre
