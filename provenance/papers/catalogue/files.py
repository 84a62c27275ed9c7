"""The three files of one book: for the printer, for the screen, as a booklet.

In: the book, what its record wishes. Out: `Paper`s by what they are for. All three are the same
pages: the printer's with bleed and marks outside it, the screen's cut to its trim with small
pictures, the booklet's two to a sheet in the order in which they are folded.
"""

from fractions import Fraction

from provenance.language.phrases import Phrases
from provenance.papers.catalogue.book import Book
from provenance.papers.sheets.frame import Paper
from provenance.press.pdf.boxes import with_marks
from provenance.press.pdf.imposed import Sheet, booklet, sheet_for, sides_of
from provenance.press.pdf.screen import for_screen, picture_digest
from provenance.public.catalogue import PublicCatalogue
from provenance.public.studio import PublicStudio


def files_of(
    studio: PublicStudio, catalogue: PublicCatalogue, book: Book, thickness: float = 0.0
) -> dict[str, Paper]:
    """Printer, screen, booklet; `thickness` of the paper in mm, 0 where it is not known."""
    say, size = studio.phrases.say, (book.trim.width, book.trim.height)
    sheet = sheet_for(size, is_american=studio.phrases.is_american)
    said = _said(studio.phrases, catalogue, book, sheet, thickness)
    content = {
        "printer": with_marks(book.pdf, size, book.trim.bleed, catalogue.title),
        "screen": for_screen(book.pdf, _widths(book)),
        "booklet": booklet(book.pdf, size, sheet=sheet, thickness=thickness, said=said).content,
    }
    return {
        name: Paper(f"catalogue-{name}.pdf", made, say(f"catalogue.file_{name}"))
        for name, made in content.items()
    }


def _said(
    phrases: Phrases, catalogue: PublicCatalogue, book: Book, sheet: Sheet, thickness: float
) -> tuple[str, ...]:
    """The sheet in front of a booklet: how to print, fold and staple it."""
    sheets = len(sides_of(book.pages))
    edge = phrases.say(f"catalogue.edge_{sheet.turns}")
    name = sheet.name or f"{sheet.width:g} x {sheet.height:g} mm"
    lines = [
        catalogue.title,
        phrases.say("catalogue.booklet_pages", pages=book.pages, sheets=sheets, sheet=name),
        phrases.say("catalogue.booklet_print", edge=edge),
        phrases.say("catalogue.booklet_fold"),
    ]
    if thickness and sheets > 1:
        most = phrases.number(Fraction(str(round((sheets - 1) * thickness, 1))), 1)
        lines.append(phrases.say("catalogue.booklet_creep", most=most))
    return tuple(lines)


def _widths(book: Book) -> dict[str, int]:
    found = {}
    for name, width in book.widths.items():
        jpeg = book.files[name]
        assert isinstance(jpeg, bytes), "a picture is bytes"
        found[picture_digest(jpeg)] = width
    return found
