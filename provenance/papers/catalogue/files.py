"""The three files of one book: for the printer, for the screen, as a booklet.

In: the book, what its record wishes. Out: `Paper`s by what they are for. All three are the same
pages: the printer's with bleed and marks outside it, the screen's cut to its trim with small
pictures, the booklet's two to a sheet in the order in which they are folded.
"""

from provenance.papers.catalogue.book import Book
from provenance.papers.sheets.frame import Paper
from provenance.press.pdf.boxes import with_marks
from provenance.press.pdf.imposed import booklet
from provenance.press.pdf.screen import for_screen, picture_digest
from provenance.public.show import CatalogueWish
from provenance.public.studio import PublicStudio


def files_of(studio: PublicStudio, wish: CatalogueWish, book: Book) -> dict[str, Paper]:
    """Printer, screen, booklet."""
    say, size = studio.phrases.say, (book.trim.width, book.trim.height)
    content = {
        "printer": with_marks(book.pdf, size, book.trim.bleed),
        "screen": for_screen(book.pdf, _widths(book)),
        "booklet": booklet(book.pdf, size).content,
    }
    return {
        name: Paper(f"catalogue-{name}.pdf", made, say(f"catalogue.file_{name}"))
        for name, made in content.items()
    }


def _widths(book: Book) -> dict[str, int]:
    found = {}
    for name, width in book.widths.items():
        jpeg = book.files[name]
        assert isinstance(jpeg, bytes), "a picture is bytes"
        found[picture_digest(jpeg)] = width
    return found
