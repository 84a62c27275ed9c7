"""Words of the start files that nobody has made their own yet: they never reach anybody else.

In: the book, its pages; the studio and what is to leave the house. Out: a remark where such a word
still stands; the same as mistakes for what is about to be printed or published. The words are known
from the templates that write them, where each stands in `yours("...")`.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache, partial
from typing import Any

from provenance.figures.reviewed import Reviewed
from provenance.press.templates import shipped_templates
from provenance.problems import Place, Problem, Said
from provenance.records.book import Book
from provenance.records.reading import Record
from provenance.records.text import Written
from provenance.studio import STILL, Studio

_YOURS = re.compile(r'yours\("([^"]+)"\)')


@cache
def start_words() -> frozenset[str]:
    """Every word of ours that a maker is to put their own in place of."""
    files = (path for path in (shipped_templates() / "records").rglob("*") if path.is_file())
    texts = (path.read_text("utf-8") for path in files if path.parent.name != "__pycache__")
    return frozenset(word for text in texts for word in _YOURS.findall(text))


def start_word_problems(book: Book, reviewed: Reviewed) -> Iterator[Problem]:
    """A remark for each that still stands in a record or a page; records that were `reviewed` are
    passed over."""
    words = repr(sorted(start_words()))
    for record in (book.studio, *book.outlets.values(), *book.shows.values()):
        yield from _in_record(record)
    for record in (*book.commissions.values(), *book.pieces.values()):
        yield from reviewed.alone(words, record, partial(_in_record, record))
    yield from _in_pages(book)


def _in_record(record: Record) -> Iterator[Problem]:
    for text in texts_of(record):
        if text.strip() in start_words():
            yield _still(text.place, text.strip())


def _in_pages(book: Book) -> Iterator[Problem]:
    pages = book.folder / "pages"
    for path in sorted(pages.glob("[!.]*.md")) if pages.is_dir() else ():
        lines = path.read_text("utf-8", errors="replace").splitlines()
        for number, line in enumerate(lines, 1):
            for word in sorted(start_words()):
                if word in line:
                    file = f"{book.folder.name}/pages/{path.name}"
                    yield _still(Place(file, number, line.index(word) + 1), word)


def texts_of(record: Record) -> Iterator[Written]:
    """Every text of a record, with its place."""
    waiting: list[Any] = [record]
    while waiting:
        value = waiting.pop()
        if isinstance(value, Written):
            yield value
        elif isinstance(value, Record):
            waiting += vars(value).values()
        elif isinstance(value, dict):
            waiting += value.values()
        elif isinstance(value, tuple):
            waiting += value


def _still(place: Place, word: str) -> Problem:
    return Problem(place, Said(STILL, word=word), Said("start.write_own"), is_remark=True)


def kept_from_others(studio: Studio, *kinds: str) -> tuple[Problem, ...]:
    """What must be the maker's own before anything is printed or published, as mistakes.

    `kinds` are the records that others will read: studio, pages, pieces, commissions. A draft
    stays at home, and holds up nothing.
    """
    pieces = studio.book.pieces.values()
    drafts = {piece.record_place.file for piece in pieces if piece.is_draft}
    return tuple(
        replace(each, is_remark=False)
        for each in studio.problems
        if isinstance(each.what, Said) and each.what.key == STILL
        if _kind(each.place.file) in kinds and each.place.file not in drafts
    )


def hold_back(studio: Studio, *kinds: str) -> None:
    """Nothing goes to others while the start files speak in these kinds of record: Slip."""
    if found := kept_from_others(studio, *kinds):
        raise found[0].as_slip()


def _kind(file: str) -> str:
    """studio, pages, commissions ...; a piece's record lies in no folder of its own."""
    inner = file.split("/")[1:-1]
    return inner[0] if inner else "pieces"
