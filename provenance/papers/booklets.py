"""A book as a booklet to print, fold and staple at home, with a sheet of words in front.

In: the public studio, the file of the book as one PDF, its title and trim, the paper that is
wished. Out: the booklet and what the maker should know of it. The first sheet says by which edge
the printer turns the paper, and what to do with the sheets.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from provenance.language.phrases import Phrases
from provenance.press.pdf.imposed import STAPLES, Booklet, Sheet, booklet, filled, sheet_for
from provenance.problems import Said
from provenance.public.paper import PaperStock, paper_stock
from provenance.public.studio import PublicStudio

Size = tuple[float, float]


@dataclass(frozen=True, slots=True)
class ToFold:
    """The booklet, its file, and remarks on it for the maker: too many pages, weight, margins."""

    made: Booklet
    file: Path
    remarks: tuple[Said, ...]


def booklet_of(
    studio: PublicStudio, title: str, pdf: Path, trim: Size, pages: int, paper: str = ""
) -> ToFold:
    """The booklet of a book of so many pages, in a file beside it; Slip where its `paper` is
    none we know."""
    stock = paper_stock(paper) if paper else None
    phrases, sheet = studio.phrases, sheet_for(trim, is_american=studio.phrases.is_american)
    said = [title, *_how(phrases, sheet, trim, filled(pages), stock)]
    thick = float(stock.mm) if stock else 0.0
    into = pdf.with_name("booklet.pdf")
    made = booklet(pdf, trim, sheet=sheet, thickness=thick, said=said, into=into)
    return ToFold(made, into, tuple(about_paper(trim, pages, stock)))


def _how(
    phrases: Phrases, sheet: Sheet, trim: Size, pages: int, stock: PaperStock | None
) -> Iterator[str]:
    def say(name: str, /, **values: object) -> str:
        return phrases.say(f"booklet.{name}", **values)

    size = sheet.name or f"{sheet.width:g} × {sheet.height:g} mm"
    yield say("what", pages=pages, sheets=pages // 4, size=size)
    yield say(f"turn_{sheet.turns}")
    yield say("scale")
    yield say("one_first")
    yield say("fold", places=phrases.listed([f"{trim[1] * at:.0f} mm" for at in STAPLES]))
    if stock and stock.creep(pages):
        creep = phrases.number(stock.creep(pages), 2)
        yield say("creep", creep=creep, paper=_named(phrases, stock))
        yield say("trim")
    elif not stock:
        yield say("no_paper")


def _named(phrases: Phrases, stock: PaperStock) -> str:
    kind = "coated" if stock.is_coated else "uncoated"
    return phrases.say(f"paper.{kind}", grams=phrases.number(stock.grams))


def about_paper(trim: Size, pages: int, stock: PaperStock | None) -> Iterator[Said]:
    """What follows from the paper: for the maker, who asks a printer or weighs a parcel."""
    if stock is None:
        return
    kind = Said(f"paper.{'coated' if stock.is_coated else 'uncoated'}", grams=stock.grams)
    how = "listed" if stock.is_listed else "between"
    yield Said(f"paper.thick_{how}", paper=kind, mm=stock.mm, source=stock.source)
    if not stock.is_said:
        yield Said("paper.unsaid")
    inner, outer = (_short(margin) for margin in stock.margins(pages))
    yield Said("paper.stapled", creep=stock.creep(pages), inner=inner, outer=outer)
    yield Said("paper.glued", spine=_short(stock.spine(pages)))
    yield Said("paper.weight", grams=_short(stock.weight(pages, trim), 0))


def _short(value: Fraction, places: int = 1) -> Said:
    return Said("form.number", value=value, places=places)
