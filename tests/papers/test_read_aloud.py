"""Whether everyone can have it read aloud: each paper of the demo that leaves the house is PDF/UA-1
(ISO 14289-1), a certificate PDF/A-3a (ISO 19005-3) as well, by page-validation, which had no part
in making them.

Hang-tags are none: they are cut up, are no document to be read in order, and tags of structure
would cost a sheet of them a third of its time. The booklet of a catalogue and its file for the
printer are pages for a machine; the same book is there to read, for the screen. Papers of a show
and that book are held against the same where they are set: test_show_papers (which knows that none
is left out), test_hanging_plan, test_show_for_press, test_catalogue; a delivery note, which the
demo has none of, in test_sheets_gallery.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

import page as page_validation

from provenance.build.outlets import OPEN
from provenance.build.tags import Wishes, print_tags
from provenance.figures.quotation.card import stand_card
from provenance.figures.quotation.quote import quote
from provenance.papers.format import Format
from provenance.papers.quotations.paper import quotation_pdf
from provenance.papers.quotations.stand_card import card_pdf
from provenance.papers.walls.outline import has_outline, outline_pdf
from provenance.public.border import Border
from provenance.public.quotation.card import card_of
from provenance.public.quotation.client import client_paper


def wrong(content: bytes, into: Path, *profiles: str) -> list[str]:
    path = into / "paper.pdf"
    path.write_bytes(content)
    reports = [page_validation.validate_pdf(str(path), profile=each) for each in profiles]
    return [str(failure) for report in reports for failure in report.failures]


def test_every_sheet_of_every_outlet(
    demo_papers: Mapping[str, Mapping[str, bytes]], tmp_path: Path
) -> None:
    told = {}
    for outlet, papers in demo_papers.items():
        for name, content in papers.items():
            if name.endswith(".pdf") and not name.startswith("private-"):
                told[f"{outlet}/{name}"] = wrong(content, tmp_path, "ua1")
    assert {where: failures for where, failures in told.items() if failures} == {}
    kinds = {where.partition("/")[2].removesuffix(".pdf") for where in told}
    assert kinds == {
        "condition", "consignment", "entry-list", "inventory", "packing-list", "price-list",
        "statement", "wall-labels",
    }  # fmt: skip


def test_the_demo_has_an_outlet_of_every_kind_that_has_papers(
    demo_border: Border, demo_papers: Mapping[str, Mapping[str, bytes]]
) -> None:
    """`other` and `website` have papers that a fair has too, a shop those of a guild."""
    kinds = {str(demo_border.book.outlets[name].kind) for name in demo_papers}
    assert OPEN.keys() - kinds == {"other", "shop", "website"}


def test_every_certificate(demo_site: Path, tmp_path: Path) -> None:
    papers = sorted((demo_site.parent / "pieces" / "papers").glob("certificate-*.pdf"))
    assert len(papers) >= 10
    told = {path.name: wrong(path.read_bytes(), tmp_path, "3a", "ua1") for path in papers}
    assert {name: failures for name, failures in told.items() if failures} == {}


def of_commissions(border: Border) -> Iterator[tuple[str, bytes]]:
    book, studio = border.book, border.studio
    for number, commission in book.commissions.items():
        found = quote(book, studio.flow, commission, studio.today, {})
        yield number, quotation_pdf(border.house, client_paper(border, found), Format())
    rows = stand_card(book, studio.flow, studio.today, {})
    yield "stand card", card_pdf(border.house, card_of(border, rows))


def test_quotations_the_stand_card_and_an_outline(demo_border: Border, tmp_path: Path) -> None:
    made = dict(of_commissions(demo_border))
    assert len(made) == 4
    facts = demo_border.piece("2026-014")
    assert has_outline(facts)
    made["outline"] = outline_pdf(demo_border.house, facts, Format())
    told = {name: wrong(content, tmp_path, "ua1") for name, content in made.items()}
    assert {name: failures for name, failures in told.items() if failures} == {}


def test_the_check_finds_what_has_no_structure(demo_border: Border, tmp_path: Path) -> None:
    """A sheet of hang-tags, for one, which is left without."""
    run = print_tags(demo_border, Wishes(numbers=("2026-014",)))
    assert any("CONTENT-TAGGING" in each for each in wrong(run.content, tmp_path, "ua1"))
