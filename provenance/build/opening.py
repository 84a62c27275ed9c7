"""Opening the studio: its records read once, the flow worked out, everything held against it.

In: the record folder and today. Out: a `Studio` with every problem found. Photos are looked at
when that is asked for; swatches are measured when somebody first asks for one.
"""

import gc
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path

from provenance.build.doubts import doubts, to_recover
from provenance.build.known import without_known
from provenance.build.looks import looked_beside
from provenance.build.readings import Readings
from provenance.build.start_words import start_word_problems
from provenance.figures.flow.gather import FlowLater
from provenance.figures.review import figures_begun
from provenance.language.catalogue import phrase_problems
from provenance.problems import Place, Problem, Said, Slip
from provenance.records.book import Book, read_book
from provenance.records.checks import review
from provenance.records.checks_days import of_today
from provenance.records.checks_names import OF_PHOTOS, photo_path
from provenance.studio import Studio


@contextmanager
def _undisturbed() -> Iterator[None]:
    """No search for garbage while records are read: what is read stays, and at the desk each
    search would look through the studio that is in memory already."""
    gc.disable()
    try:
        yield
    finally:
        gc.enable()


@_undisturbed()
def open_studio(folder: Path, today: date, *, looks_at_photos: bool = False) -> Studio:
    """The studio, read and reviewed. Raises Slip where there are no records at all."""
    kept = Readings(folder)
    book, problems = read_book(folder, kept.records)
    if book is None:
        raise problems[0].as_slip()
    flow = FlowLater.of(book)
    looking = looked_beside(book) if looks_at_photos else nullcontext(tuple)
    with looking as looks, figures_begun(book, flow, kept.reviewed) as of_figures:
        reviewed = review(book)
        found = {*to_recover(book, problems), *reviewed, *of_today(book, today)}
        found.update(of_figures())
        found.update(start_word_problems(book, kept.reviewed))
        kept.keep()
        found.update(phrase_problems(book), doubts(book))
        of_photos = frozenset(each for each in reviewed if _is_of_photos(each))
        found.update(_not_told(looks(), of_photos))
    left = tuple(sorted(without_known(book, found)))
    return Studio(book, flow, Swatches(book), today, left, of_photos)


def _is_of_photos(problem: Problem) -> bool:
    return isinstance(problem.what, Said) and problem.what.key.startswith(OF_PHOTOS)


def _not_told(looks: Iterable[Problem], told: frozenset[Problem]) -> Iterator[Problem]:
    """What a look at the photos finds, where it is not told already that there is none."""
    there = "photo_file.no_alt"
    whats = ((each.place, each.what) for each in told)
    places = {place for place, what in whats if isinstance(what, Said) and what.key != there}
    return (each for each in looks if each.place not in places)


@dataclass(frozen=True)
class Swatches(Mapping[str, str]):
    """Swatch photo -> its colour, measured when first asked for; those that can't be read lack."""

    book: Book

    @cached_property
    def _measured(self) -> tuple[Mapping[str, str], dict[str, Slip]]:
        names = list(swatch_names(self.book))
        if not names:
            return {}, {}
        from provenance.build.swatches import swatch_colours

        return swatch_colours(self.book.folder, names)

    @property
    def slips(self) -> dict[str, Slip]:
        """What is wrong with those that can't be read."""
        return self._measured[1]

    def __getitem__(self, name: str) -> str:
        return self._measured[0][name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._measured[0])

    def __len__(self) -> int:
        return len(self._measured[0])


def swatch_problems(studio: Studio) -> list[Problem]:
    """Swatch photos that can't be read, told where they are named."""
    if not isinstance(studio.swatches, Swatches):
        return []
    places, slips = swatch_names(studio.book), studio.swatches.slips
    return [Problem(places[name], slip.what, slip.remedy) for name, slip in slips.items()]


def swatch_names(book: Book) -> dict[str, Place]:
    """Every swatch photo named in the dye book, with its place."""
    baths = book.baths.values()
    found = (each for bath in baths for each in (bath.swatch, *(one.swatch for one in bath.dyed)))
    return {str(swatch): swatch.place for swatch in found if swatch}


def named_photos(book: Book) -> list[str]:
    """Every photo that a record names, of pieces and of swatches, by its path from the folder."""
    photos = (each for piece in book.pieces.values() for each in piece.photos)
    return sorted({photo_path(str(each.file)) for each in photos} | {*swatch_names(book)})
