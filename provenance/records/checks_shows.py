"""Whether shows and what they name fit each other.

In: the book. Out: problems with places: a file whose name can't be a folder of papers, a work that
hangs twice, a page that nobody wrote, a page size or printer profile that is none; and a remark
where a work hangs in two shows at once. Which works and outlets exist is told by `checks_names`,
what fits a wall by `figures.hanging_checks`.
"""

import unicodedata
from collections.abc import Callable, Iterator
from datetime import date
from itertools import combinations
from typing import Any

from provenance.problems import Place, Problem, Said, Slip, nearest
from provenance.records.book import Book
from provenance.records.bookmaking import bleed_of, page_of, paper_of
from provenance.records.file_names import bad_name
from provenance.records.lots import OWN_FOLDERS
from provenance.records.pages import ENDING
from provenance.records.shows import Show, page_named

Found = Iterator[Problem]


def check_shows(book: Book) -> Found:
    """Every show by itself, then each two beside each other."""
    for show in book.shows.values():
        yield from _name(book, show)
        yield from _twice(book, show)
        yield from _opening(show)
        yield from _pages(book, show)
        yield from _catalogue(book, show)
    yield from _one_address(book)
    yield from _at_once(book)


def check_gone(book: Book, today: date) -> Found:
    """No work hangs in a show to come, or one that is on, that was withdrawn."""
    for show in book.shows.values():
        if show.dates and show.dates.last < today:
            continue
        for number in show.hung:
            piece = book.pieces.get(number)
            if piece and piece.state == "withdrawn":
                what = Said("show_file.withdrawn", number=str(number), title=str(piece.title))
                remedy = Said("show_file.take_off", file=piece.record_place.file)
                yield Problem(number.place, what, remedy, is_remark=True)


def _one_address(book: Book) -> Found:
    """Each has a page of its own on the site."""
    first: dict[str, Show] = {}
    for show in book.shows.values():
        other = first.setdefault(show.path, show)
        if other is not show:
            told = {"path": show.path, "other": other.record_place.file}
            what = Said("show_file.one_address", **told)
            yield Problem(show.name.place, what, Said("show_file.rename"))


def _opening(show: Show) -> Found:
    """Guests come before the show is over."""
    if show.opening and show.dates and show.opening.on > show.dates.last:
        days = {"day": show.opening.on.isoformat(), "last": show.dates.last.isoformat()}
        what = Said("show_file.opens_late", **days)
        yield Problem(show.opening.place, what, Said("show_file.look_at_days"))


def _name(book: Book, show: Show) -> Found:
    """Its papers lie in a folder of its name, which no outlet and nothing of ours has."""
    name = str(show.name)
    folded = unicodedata.normalize("NFC", name).casefold()
    outlets = {unicodedata.normalize("NFC", str(each)).casefold() for each in book.outlets}
    if bad_name(name):
        yield Problem(show.name.place, Said("show_file.bad_name"), Said("show_file.rename"))
    elif folded in outlets | OWN_FOLDERS:
        what = Said("show_file.folder_taken", name=name)
        yield Problem(show.name.place, what, Said("show_file.rename"))


def _twice(book: Book, show: Show) -> Found:
    """A work hangs once; a piece of a set as often as there are of it."""
    hung: dict[str, list[Place]] = {}
    for number in show.hung:
        before = hung.setdefault(str(number), [])
        piece = book.pieces.get(number)
        if piece and len(before) >= piece.made:
            what = Said("show_file.twice", number=str(number), title=str(piece.title))
            yield Problem(number.place, what, Said("show_file.once", place=before[0].short))
        before.append(number.place)


def _pages(book: Book, show: Show) -> Found:
    """The room text and the essay lie in pages/; one that could not be read is told there."""
    files = [f"{name}{ENDING}" for name in book.pages]
    for text in show.texts:
        file = f"{page_named(text)}{ENDING}"
        if file not in files and not _lies_there(book, f"pages/{file}"):
            remedy = _page_to_write(file, files)
            yield Problem(text.place, Said("show_file.no_page", file=str(text)), remedy)


def _page_to_write(file: str, files: list[str]) -> Said:
    """The page that was meant; else where to write one, under a name that a page can have."""
    if near := nearest(file, files):
        return Said("problem.near", near=near)
    if "/" in file or "." in file.removesuffix(ENDING) or bad_name(file):
        return Said("show_file.page_such")
    return Said("show_file.write_page", file=file)


def _catalogue(book: Book, show: Show) -> Found:
    """The size of its pages and their bleed, the paper, the printer's own profile."""
    asked = show.catalogue
    if asked is None:
        return
    yield from _tried(page_of, asked.size)
    yield from _tried(bleed_of, asked.bleed)
    yield from _tried(paper_of, asked.paper)
    if (profile := asked.printer_profile) and not _lies_there(book, profile):
        what = Said("show_file.no_profile", file=str(profile))
        yield Problem(profile.place, what, Said("show_file.put_profile"))


def _tried(read: Callable[[Any], object], written: Any) -> Found:
    if written is None:
        return
    try:
        read(written)
    except Slip as slip:
        yield Problem(written.place, slip.what, slip.remedy)


def _lies_there(book: Book, file: str) -> bool:
    return not bad_name(file) and (book.folder / file).is_file()


def _at_once(book: Book) -> Found:
    """No work hangs in two places on one day."""
    dated = [(show, show.dates) for show in book.shows.values() if show.dates]
    for (one, days), (other, others) in combinations(dated, 2):
        if days.first > others.last or others.first > days.last:
            continue
        there = {str(number): number.place for number in one.hung}
        for number in other.hung:
            piece = book.pieces.get(number)
            if number in there and piece and piece.made == 1:
                told = {"number": str(number), "title": str(piece.title), "show": str(one.title)}
                what = Said("show_file.at_once", **told)
                remedy = Said("show_file.one_place", place=there[str(number)].short)
                yield Problem(number.place, what, remedy, is_remark=True)
