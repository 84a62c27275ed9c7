"""The printed catalogue: which works are in it, its three files, what the maker should know.

In: the border, the name of a show or none, the years. Out: papers in papers/NAME-OF-SHOW/, or in
papers/catalogue/ without a show: for the printer (bleed, marks), for the screen (tagged, small
pictures), as a booklet to print, fold and staple. Works are all that are public, in the order they
were finished; in a catalogue of a show those that hang there, in their order. Everything is made
before anything is written.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from provenance.build.outlets import write_papers
from provenance.build.plates import kept_plate
from provenance.build.start_words import hold_back
from provenance.build.works import facts_of, of_photos
from provenance.papers.catalogue.book import Book, set_book
from provenance.papers.catalogue.files import files_of
from provenance.papers.catalogue.pictures import Named
from provenance.papers.catalogue.trim import Trim, read_trim
from provenance.papers.sheets.frame import Paper
from provenance.press.pdf.imposed import MOST_PAGES
from provenance.press.pictures.inks import open_press
from provenance.problems import Problem, Said, Slip, Words, WrongWish
from provenance.public.border import Border
from provenance.public.catalogue import PublicCatalogue, public_catalogue
from provenance.public.paper import bleed_of, paper_stock
from provenance.public.show import PublicShow
from provenance.records.pieces import Piece
from provenance.records.quantities import Centimetres
from provenance.records.text import Written
from provenance.studio import Studio

FOLDER = "catalogue"
_GONE = "withdrawn"


@dataclass(frozen=True, slots=True)
class Wishes:
    """Which catalogue: of a show or of all works, of which years."""

    show: str = ""
    first: int | None = None
    last: int | None = None


@dataclass(frozen=True, slots=True)
class Made:
    """A catalogue, not yet in its place: its files by what they are for."""

    folder: str
    catalogue: PublicCatalogue
    book: Book
    files: dict[str, Paper]
    problems: tuple[Problem, ...]
    remarks: tuple[Said, ...]


def _quiet(_done: int, _whole: int, _name: str) -> None:
    """Nobody listens."""


def make_catalogue(border: Border, wishes: Wishes, named: Named = _quiet) -> Made:
    """The same as `catalogue_of`; a slip that has a place says it in its words."""
    try:
        return catalogue_of(border, wishes, named)
    except Slip as slip:
        if slip.place is None:
            raise
        raise Problem(slip.place, slip.what, slip.remedy).as_slip() from None


def catalogue_of(border: Border, wishes: Wishes, named: Named = _quiet) -> Made:
    """The catalogue; `named` hears how many pictures are made, and the work of the next one. Slip
    where there is nothing to put in it."""
    if (wishes.first or 0) > (wishes.last or 9999):
        years = {"first": str(wishes.first), "last": str(wishes.last)}
        raise WrongWish(Said("catalogue.wrong_years", **years))
    hold_back(border.studio, "studio", "pieces")
    there, show = _of_show(border, wishes.show)
    records, left_out = _chosen(border.studio, show, wishes)
    if not records:
        raise Slip(Said("catalogue.nothing"), Said("catalogue.what_goes_in"))
    pieces, problems = facts_of(there, records)
    catalogue = public_catalogue(there, show, pieces)
    trim = _trim(border.studio, catalogue)
    book = set_book(there.house, catalogue, trim, named, kept_plate)
    files, about = files_of(there.house, catalogue.title, book, catalogue.wish)
    problems += _bad_photos(border.studio, book)
    remarks = (*left_out, *_remarks(book, catalogue), *about, *_notes(book, catalogue))
    folder = show.name if show else FOLDER
    return Made(folder, catalogue, book, files, tuple(dict.fromkeys(problems)), remarks)


def _trim(studio: Studio, catalogue: PublicCatalogue) -> Trim:
    """The size that is asked for, on a paper and by a profile that are known; what is wrong with
    any is told where it is written."""
    wish, asked = catalogue.wish, None
    if catalogue.show:
        asked = studio.show(catalogue.show.name).catalogue
    with _told_at(asked.paper if asked else None):
        if wish.paper:
            paper_stock(wish.paper)
    with _told_at(asked.printer_profile if asked else None):
        if wish.printer_profile:
            open_press(studio.book.folder, wish.printer_profile)
    with _told_at(asked.bleed if asked else None):
        if wish.bleed is not None:
            bleed_of(wish.bleed)
    with _told_at(asked.size if asked else None):
        return read_trim(wish.size, wish.bleed)


@contextmanager
def _told_at(written: Written | Centimetres | None) -> Iterator[None]:
    try:
        yield
    except Slip as slip:
        if written is None:
            raise
        raise slip.at(written.place) from None


def _of_show(border: Border, name: str) -> tuple[Border, PublicShow | None]:
    """The show in the language of its outlet."""
    if not name:
        return border, None
    outlet = border.studio.show(name).outlet
    there = border.speaking(border.studio.book.outlets.get(str(outlet or "")))
    return there, there.show(name)


def _chosen(
    studio: Studio, show: PublicShow | None, wishes: Wishes
) -> tuple[list[Piece], list[Said]]:
    """The works in their order, and those of the show that are not ready to be shown in print."""
    pieces = studio.book.pieces
    numbers = show.numbers if show else sorted(pieces, key=lambda n: _when(pieces[n]))
    wanted = [pieces[n] for n in numbers if _is_of(pieces[n], wishes)]
    ready = [each for each in wanted if not each.is_draft and each.state != _GONE]
    drafts = [str(each.number) for each in wanted if each not in ready]
    said = [Said("catalogue.drafts", numbers=", ".join(drafts))] if show and drafts else []
    return ready, said


def _when(piece: Piece) -> tuple[str, str]:
    return str(piece.finish or piece.year), str(piece.number)


def _is_of(piece: Piece, wishes: Wishes) -> bool:
    year = _when(piece)[0][:4]
    if wishes.first is None and wishes.last is None:
        return True
    return year.isdigit() and (wishes.first or 0) <= int(year) <= (wishes.last or 9999)


def _bad_photos(studio: Studio, book: Book) -> Iterator[Problem]:
    """Photos that can't be shown, and those with too few pixels for their size, where they are
    named."""
    yield from of_photos(studio, book.slips)
    for number, file, dpi in book.coarse:
        what = Said("catalogue.coarse", file=file, dpi=str(dpi))
        place = studio.piece(number).record.place_of(file)
        yield Problem(place, what, Said("catalogue.finer"), is_remark=True)


def _remarks(book: Book, catalogue: PublicCatalogue) -> Iterator[Said]:
    if book.pages > MOST_PAGES and catalogue.wish.binding == "stapled":
        yield Said("catalogue.too_thick", pages=str(book.pages), most=str(MOST_PAGES))


def _notes(book: Book, catalogue: PublicCatalogue) -> Iterator[Said]:
    """For the maker alone, never in the book: what the file is, and what the law asks."""
    yield Said("catalogue.for_printer", bleed=_mm(book.trim.bleed))
    yield Said("catalogue.deposit")
    if not catalogue.wish.isbn:
        yield Said("catalogue.no_isbn")


def _mm(length: float) -> str:
    return f"{length:g} mm"


def write_catalogue(border: Border, made: Made, shown: Callable[[Path], str]) -> Iterator[Words]:
    """Write the files; lines that tell them (`shown` is how a path is told)."""
    folder = border.house.folder / "papers" / made.folder
    write_papers(folder, tuple(made.files.values()), border.studio.today)
    trim, works = made.book.trim, Said("catalogue.count", number=len(made.book.placed))
    yield Said(
        "catalogue.head", title=made.catalogue.title, works=works, pages=str(made.book.pages),
        size=f"{trim.width:g} x {_mm(trim.height)}", folder=shown(folder),
    )  # fmt: skip
    for paper in made.files.values():
        yield Said("papers.line", about=paper.about, files=paper.name)
    yield from (Said("papers.remark", what=remark) for remark in made.remarks)


def catalogue_data(made: Made) -> dict[str, Any]:
    """For programs: pages, the files by their paths in the record folder, and every work with the
    page of its entry and of its plate (null for a text entry)."""
    entries = [
        {"number": each.entry.piece.number, "catalogue number": each.entry.place,
         "title": each.entry.piece.title, "page": each.page, "plate": each.plate}
        for each in made.book.placed
    ]  # fmt: skip
    files = {name: f"papers/{made.folder}/{paper.name}" for name, paper in made.files.items()}
    return {"pages": made.book.pages, "files": files, "entries": entries}
