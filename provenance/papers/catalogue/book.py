"""The catalogue set as a book: every page of it, once, for printer, screen and booklet alike.

In: public facts of studio and catalogue, the trim. Out: `Book`: one tagged
PDF with bleed, how many pages it has (a multiple of four), on which each work is, what the maker
should know of its pictures. Page numbers are put in by the renderer from the pages themselves.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from provenance.papers.catalogue.indexes import by_inventory, credits_of, indexes_of
from provenance.papers.catalogue.keeping import keeping_of
from provenance.papers.catalogue.pictures import Named, Pictures, Printed, plate
from provenance.papers.catalogue.scheme import rules_of
from provenance.papers.catalogue.spreads import Setter, Spread
from provenance.papers.catalogue.trim import STRIP_MM, Trim
from provenance.press.drawings.edges import edges_svg
from provenance.press.letters.measure import POINT
from provenance.press.markup import to_html
from provenance.press.pdf.files import Files, Scratch
from provenance.press.pdf.paging import typeset
from provenance.press.templates import render, source
from provenance.problems import Slip
from provenance.public.catalogue import Entry, PublicCatalogue
from provenance.public.studio import PublicStudio

BLANKS = 3  # of which as many stay as make the pages a multiple of four
COVER_DEPTH = 0.6  # of the cover is cloth
BAND_MM = 9.0
_FOOT_PT = 8.5


@dataclass(frozen=True, slots=True)
class Placed:
    """A work in the book: the page of its entry, and of its plate (None for a text entry)."""

    entry: Entry
    page: int
    plate: int | None


@dataclass(frozen=True, slots=True)
class Book:
    """The book as one PDF with bleed, in a scratch folder. `widths` are the pixels that each
    picture has in the screen's file, by its name among `files`; `slips` and `coarse` as in
    `Pictures`."""

    pdf: Path
    scratch: Scratch
    pages: int
    trim: Trim
    placed: tuple[Placed, ...]
    files: Files
    widths: Mapping[str, int]
    slips: tuple[tuple[str, str, Slip], ...]
    coarse: tuple[tuple[str, str, int], ...]


def set_book(
    studio: PublicStudio, catalogue: PublicCatalogue, trim: Trim, named: Named,
    printed: Printed = plate,
) -> Book:  # fmt: skip
    """The whole book; `named` hears how many pictures of how many are made, and the title of
    the next one's work, `printed` makes them. Slip says what can't be printed."""
    scratch = Scratch()
    pdf = scratch.folder / "book.pdf"
    pictures = Pictures(studio, Files(scratch.folder))
    spreads = _spreads(catalogue, Setter(trim, pictures), named, printed)
    html = _html(studio, catalogue, trim, spreads, pictures.files)
    laid = typeset(html, pictures.files, pdf, studio.today)
    return Book(
        pdf, scratch, laid.pages, trim, tuple(_placed(laid.places, spread) for spread in spreads),
        pictures.files, pictures.widths, tuple(pictures.slips), tuple(pictures.coarse),
    )  # fmt: skip


def _spreads(
    catalogue: PublicCatalogue, setter: Setter, named: Named, printed: Printed
) -> list[Spread]:
    """The works set, and their pictures made; set again without those that can't be."""
    while True:
        spreads = [setter.spread(entry) for entry in catalogue.entries]
        if setter.pictures.make(printed, named):
            return spreads


def _placed(places: Mapping[str, int], spread: Spread) -> Placed:
    place = spread.entry.place
    return Placed(spread.entry, places[f"work-{place}"], places.get(f"plate-{place}"))


def _html(
    studio: PublicStudio, catalogue: PublicCatalogue, trim: Trim, spreads: Sequence[Spread],
    files: Files,
) -> str:  # fmt: skip
    """The page of all pages."""
    _edges(catalogue, trim, files)
    files["catalogue.css"] = source("catalogue/catalogue.css", studio.templates)
    phrases = studio.phrases
    values: dict[str, Any] = {
        "it": catalogue,
        "studio": studio,
        "trim": trim,
        "mm": {"strip": STRIP_MM, "cover": round(trim.height * COVER_DEPTH, 1), "band": BAND_MM},
        "language": phrases.language,
        "say": lambda name, /, **given: phrases.say(f"catalogue.{name}", **given),
        "essay": to_html(catalogue.essay_text, demote_headings=2) if catalogue.essay_text else "",
        "rules": rules_of(catalogue, phrases),
        "plates": [each for each in spreads if each.plate],
        "texts": [each for each in spreads if not each.plate],
        "closer": [each for each in spreads if each.is_closer and not each.is_long],
        "ribbons": any(each.ribbon for each in spreads),
        "views": [view for each in spreads for view in each.views],
        "spreads": spreads,
        "indexes": indexes_of(catalogue.entries, phrases),
        "by_inventory": by_inventory(catalogue.entries),
        "keeping": keeping_of(catalogue.entries),
        "credits": credits_of(catalogue.entries, studio.maker),
        "year": str(_year(studio, catalogue)),
        "day": phrases.day(studio.today),
        "listed": lambda places: phrases.listed([str(each) for each in places]),
        "blanks": BLANKS,
    }
    return render("catalogue/catalogue.html", values, studio.templates)


def _year(studio: PublicStudio, catalogue: PublicCatalogue) -> int:
    """Of the book: this one, or that in which its show opens."""
    first = catalogue.show.first if catalogue.show else None
    return max(studio.today.year, first.year if first else 0)


def _edges(catalogue: PublicCatalogue, trim: Trim, files: Files) -> None:
    """The cloth of the cover, and its band on the back."""
    works = [(str(each.place), each.piece.stripes) for each in catalogue.entries]
    wide, size = trim.width + 2 * trim.bleed, float(_FOOT_PT * POINT)
    foot = (size * 2, size)
    deep = round(trim.height * COVER_DEPTH, 1) + trim.bleed + foot[0]
    files["cover.svg"] = edges_svg(works, (wide, deep), trim.bleed, foot)
    files["band.svg"] = edges_svg(works, (wide, BAND_MM + trim.bleed), trim.bleed, (0, 0))
