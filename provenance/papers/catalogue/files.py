"""The files of one book: for the printer, for the screen, as a booklet.

In: the book, what is wished of paper and press. Out: `Paper`s by what they are for, and what
follows from paper and press. All are the same pages: the printer's with bleed and marks outside it,
in sRGB and, where his profile is named, in his inks too; the screen's cut to its trim with small
pictures; the booklet's two to a sheet in the order in which they fold.
"""

from provenance.papers.booklets import booklet_of
from provenance.papers.catalogue.book import Book
from provenance.papers.sheets.frame import Paper
from provenance.press.pdf.boxes import with_marks
from provenance.press.pdf.inks import HEAVY, in_inks
from provenance.press.pdf.screen import for_screen, picture_digest
from provenance.press.pictures.inks import open_press
from provenance.problems import Said
from provenance.public.show import CatalogueWish
from provenance.public.studio import PublicStudio

Files = dict[str, Paper]


def files_of(
    studio: PublicStudio, title: str, book: Book, wish: CatalogueWish
) -> tuple[Files, tuple[Said, ...]]:
    """Printer, screen, booklet, and in the inks of a press whose profile is named; remarks for the
    maker. Slip where the paper or the profile is none we know."""
    say, size = studio.phrases.say, (book.trim.width, book.trim.height)
    folded = booklet_of(studio, title, book.pdf, size, book.pages, wish.paper or "")
    content = {
        "printer": with_marks(book.pdf, size, book.trim.bleed, title),
        "screen": for_screen(book.pdf, _widths(book)),
        "booklet": folded.made.content,
    }
    in_colour: tuple[Said, ...] = ()
    if wish.printer_profile:
        content["printer-cmyk"], in_colour = _inked(studio, content["printer"], wish)
    made = {
        name: Paper(f"catalogue-{name}.pdf", file, say(f"catalogue.file_{name.replace('-', '_')}"))
        for name, file in content.items()
    }
    return made, (*folded.remarks, *in_colour)


def _inked(
    studio: PublicStudio, paper: bytes, wish: CatalogueWish
) -> tuple[bytes, tuple[Said, ...]]:
    """The printer's file in his own inks, and what the maker should know of it."""
    press = open_press(studio.folder, wish.printer_profile)
    made = in_inks(paper, press)
    coat = Said("inks.heavy" if made.is_heavy else "inks.coat", most=made.most, limit=HEAVY)
    return made.content, (Said("inks.done", profile=press.description), coat)


def _widths(book: Book) -> dict[str, int]:
    found = {}
    for name, width in book.widths.items():
        jpeg = book.files[name]
        assert isinstance(jpeg, bytes), "a picture is bytes"
        found[picture_digest(jpeg)] = width
    return found
