"""What every command needs first: the record folder, one reading of it, today's date.

In: the `--studio` option and where we stand. Out: the opened studio with all problems found.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import cached_property
from pathlib import Path
from typing import NoReturn

import click

from provenance.figures.flow.flow import Flow
from provenance.figures.flow.gather import studio_flow
from provenance.figures.review import review_figures
from provenance.language.catalogue import phrase_problems
from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.lock import lock
from provenance.problems import Problem, did_you_mean
from provenance.records.book import Book, read_book
from provenance.records.checks import expired, review
from provenance.records.checks_photos import check_photos
from provenance.records.pieces import Piece


def today() -> date:
    """Today; a fixed day when SOURCE_DATE_EPOCH is set, so that a build can be repeated."""
    fixed = os.environ.get("SOURCE_DATE_EPOCH", "")
    if fixed.isdigit():
        return datetime.fromtimestamp(int(fixed), UTC).date()
    return datetime.now().astimezone().date()


@dataclass(frozen=True)
class Opened:
    """One reading of the studio."""

    book: Book
    flow: Flow
    problems: tuple[Problem, ...]
    today: date
    of_photos: frozenset[Problem] = frozenset()

    @property
    def mistakes(self) -> tuple[Problem, ...]:
        """Problems that must be mended."""
        return tuple(problem for problem in self.problems if not problem.is_remark)

    def pieces(self, numbers: Iterable[str]) -> tuple[Piece, ...]:
        """The pieces asked for, or every piece that can be costed; unknown numbers are refused."""
        wanted = list(numbers)
        if not wanted:
            return tuple(each for each in self.book.pieces.values() if each.can_be_costed)
        return tuple(self.piece(number) for number in wanted)

    def piece(self, number: str) -> Piece:
        """One piece by its number."""
        if self.book.is_broken(number, "pieces"):
            refuse(f"the record of {number} can't be read: see 'provenance check'", 1)
        if number not in self.book.pieces:
            hint = british().tell(did_you_mean(number, self.book.pieces))
            refuse(f"there is no piece {number}. {hint}".strip(), 1)
        return self.book.pieces[number]


class Here:
    """Where the command was called; reads the studio once, when first asked."""

    def __init__(self, folder: Path | None) -> None:
        self.asked = folder

    @cached_property
    def folder(self) -> Path:
        """The record folder: the one asked for, else pieces/ here or in a parent folder."""
        if self.asked is not None:
            return self.asked.resolve()
        here = Path.cwd()
        for folder in (here, *here.parents):
            if (folder / "pieces" / "studio").is_dir():
                return folder / "pieces"
            if (folder / "studio" / "studio.yaml").is_file():
                return folder
        return here / "pieces"

    @cached_property
    def studio(self) -> Opened:
        """The studio, read and reviewed."""
        book, problems = read_book(self.folder)
        if book is None:
            refuse("\n".join(told(problem, british()) for problem in problems), 1)
        flow = studio_flow(book)
        day = today()
        found = {*problems, *review(book), *review_figures(book, flow), *expired(book, day)}
        found.update(phrase_problems(book))
        return Opened(book, flow, tuple(sorted(found)), day, frozenset(check_photos(book)))


def turn(here: Here, command: str) -> AbstractContextManager[None]:
    """Records are read when it is our turn, so that nothing is counted or noted twice."""
    return lock(here.folder, command) if here.folder.is_dir() else nullcontext()


def shown_path(path: Path) -> str:
    """A path from where we stand, when it lies below; else whole."""
    here = Path.cwd()
    return str(path.relative_to(here)) if path.is_relative_to(here) else str(path)


def refuse(message: str, code: int) -> NoReturn:
    """Say why nothing was done, and stop."""
    click.echo(message, err=True)
    sys.exit(code)


def warn_of(opened: Opened) -> None:
    """One line about mistakes in the records, for commands that go on in spite of them."""
    count = len(opened.mistakes)
    if count:
        noun = "mistake" if count == 1 else "mistakes"
        click.echo(f"({count} {noun} in the records: see 'provenance check')\n", err=True)
