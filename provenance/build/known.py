"""Remarks that the maker has read and keeps: said no more.

In: the book and what was found. Out: the same without the remarks that a `known` of their record
names by their own words, in English or in the studio's language ("madder above 72 C"); what is said
once for the whole studio is quiet when any record knows it. A `known` that names nothing is told.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from itertools import chain

from provenance.build.looks import ALL_SMALL
from provenance.figures.dyes.guard import SAID_ONCE
from provenance.language.phrases import Phrases, british, phrases_for_maker
from provenance.problems import Place, Problem, Said
from provenance.records.book import Book
from provenance.records.text import Written

Words = tuple[str, ...]
_ONCE = (*SAID_ONCE, *ALL_SMALL)


def without_known(book: Book, found: Iterable[Problem]) -> Iterator[Problem]:
    """What is left to say, and every `known` that matched nothing."""
    knowns = {file: texts for file, texts in _knowns(book) if texts}
    if not knowns:
        yield from found
        return
    voices = (british(), phrases_for_maker(book))
    used: set[Place] = set()  # records may know the same words
    for problem in found:
        matching = list(_matching(knowns, problem, voices)) if problem.is_remark else []
        used.update(text.place for text in matching)
        if not matching:
            yield problem
    for text in (text for texts in knowns.values() for text in texts):
        if text.place not in used:
            said = Said("review.known_nothing", known=str(text))
            yield Problem(text.place, said, Said("review.known_words"), is_remark=True)


def _knowns(book: Book) -> Iterator[tuple[str, tuple[Written, ...]]]:
    """The file of every piece, bath and show and of the studio, and what it knows."""
    yield book.studio.record_place.file, book.studio.known
    for piece in book.pieces.values():
        yield piece.record_place.file, piece.known
    for bath in book.baths.values():
        yield bath.record_place.file, bath.known
    for show in book.shows.values():
        yield show.record_place.file, show.known


def _matching(
    knowns: Mapping[str, tuple[Written, ...]], problem: Problem, voices: tuple[Phrases, ...]
) -> Iterator[Written]:
    is_once = isinstance(problem.what, Said) and problem.what.key in _ONCE
    if texts := list(chain(*knowns.values()) if is_once else knowns.get(problem.place.file, ())):
        told = [_words(voice.tell(problem.what)) for voice in voices]
        yield from (text for text in texts if any(_holds(each, _words(text)) for each in told))


def _holds(whole: Words, part: Words) -> bool:
    """Whether words stand one after another in others; no words stand nowhere."""
    ends = range(len(whole) - len(part) + 1) if part else ()
    return any(whole[start : start + len(part)] == part for start in ends)


def _words(text: str) -> Words:
    """Words and numbers alone: "72 °C:" is "72 C"."""
    return tuple(re.findall(r"\d+(?:[.,]\d+)?|[^\W\d_]+", text.casefold()))
