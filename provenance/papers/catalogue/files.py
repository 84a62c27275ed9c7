"""The files of one book: for the printer, for the screen, as a booklet.

In: the book, what is wished of paper and press. Out: `Paper`s by what they are for, which wait on
disk, and what follows from paper and press. All are the same pages: the printer's with bleed and
marks outside it, in sRGB and, where his profile is named, in his inks too; the screen's cut to its
trim with small pictures; the booklet's two to a sheet in the order in which they fold.
"""

from pathlib import Path

from provenance.papers.booklets import booklet_of
from provenance.papers.catalogue.book import Book
from provenance.papers.sheets.frame import Paper
from provenance.press.pdf.boxes import with_marks
from provenance.press.pdf.files import Waiting
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
    size, pdf = (book.trim.width, book.trim.height), book.pdf
    printer, screen = pdf.with_name("printer.pdf"), pdf.with_name("screen.pdf")
    with_marks(pdf, size, book.trim.bleed, title, printer)
    for_screen(pdf, _widths(book), screen)
    folded = booklet_of(studio, title, pdf, size, book.pages, wish.paper or "")
    lying = {"printer": printer, "screen": screen, "booklet": folded.file}
    in_colour: tuple[Said, ...] = ()
    if wish.printer_profile:
        lying["printer-cmyk"], in_colour = _inked(studio, printer, wish)
    made = {name: _paper(studio, name, Waiting(file, book.scratch)) for name, file in lying.items()}
    return made, (*folded.remarks, *in_colour)


def _paper(studio: PublicStudio, name: str, waiting: Waiting) -> Paper:
    about = studio.phrases.say(f"catalogue.file_{name.replace('-', '_')}")
    return Paper(f"catalogue-{name}.pdf", b"", about, waiting)


def _inked(studio: PublicStudio, paper: Path, wish: CatalogueWish) -> tuple[Path, tuple[Said, ...]]:
    """The printer's file in his own inks, and what the maker should know of it."""
    press = open_press(studio.folder, wish.printer_profile)
    into = paper.with_name("inked.pdf")
    made = in_inks(paper, press, into)
    coat = Said("inks.heavy" if made.is_heavy else "inks.coat", most=made.most, limit=HEAVY)
    return into, (Said("inks.done", profile=press.description), coat)


def _widths(book: Book) -> dict[str, int]:
    return {picture_digest(book.files[name]): width for name, width in book.widths.items()}
