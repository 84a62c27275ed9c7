"""The three files of one book: for the printer, for the screen, as a booklet.

In: the book, the paper that is wished. Out: `Paper`s by what they are for, and what follows from
the paper. All three are the same pages: the printer's with bleed and marks outside it, the screen's
cut to its trim with small pictures, the booklet's two to a sheet in the order in which they fold.
"""

from provenance.papers.booklets import booklet_of
from provenance.papers.catalogue.book import Book
from provenance.papers.sheets.frame import Paper
from provenance.press.pdf.boxes import with_marks
from provenance.press.pdf.screen import for_screen, picture_digest
from provenance.problems import Said
from provenance.public.studio import PublicStudio

Files = dict[str, Paper]


def files_of(
    studio: PublicStudio, title: str, book: Book, paper: str
) -> tuple[Files, tuple[Said, ...]]:
    """Printer, screen, booklet; remarks for the maker. Slip where the paper is none we know."""
    say, size = studio.phrases.say, (book.trim.width, book.trim.height)
    folded = booklet_of(studio, title, book.pdf, size, book.pages, paper)
    content = {
        "printer": with_marks(book.pdf, size, book.trim.bleed, title),
        "screen": for_screen(book.pdf, _widths(book)),
        "booklet": folded.made.content,
    }
    made = {
        name: Paper(f"catalogue-{name}.pdf", file, say(f"catalogue.file_{name}"))
        for name, file in content.items()
    }
    return made, folded.remarks


def _widths(book: Book) -> dict[str, int]:
    found = {}
    for name, width in book.widths.items():
        jpeg = book.files[name]
        assert isinstance(jpeg, bytes), "a picture is bytes"
        found[picture_digest(jpeg)] = width
    return found
