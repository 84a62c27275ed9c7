"""Where a command was called: the record folder, one reading of it, today, its language.

In: the `--studio` option and where we stand. Out: the studio, opened when first asked for, and the
words to speak to its maker in.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from contextlib import AbstractContextManager, nullcontext
from datetime import UTC, date, datetime
from functools import cached_property
from pathlib import Path

import click

from provenance.build.opening import open_studio
from provenance.language.phrases import Phrases, british, phrases_for_maker
from provenance.language.telling import told
from provenance.lock import lock
from provenance.problems import Problem, Said, Words
from provenance.public.border import Border
from provenance.studio import Studio


def today() -> date:
    """Today; a fixed day when SOURCE_DATE_EPOCH is set, so that a build can be repeated."""
    fixed = os.environ.get("SOURCE_DATE_EPOCH", "")
    if fixed.isdigit():
        return datetime.fromtimestamp(int(fixed), UTC).date()
    return datetime.now().astimezone().date()


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
    def studio(self) -> Studio:
        """The studio, read and reviewed."""
        return open_studio(self.folder, today())

    @cached_property
    def border(self) -> Border:
        """The way to what others may see."""
        return Border(self.studio)

    @property
    def phrases(self) -> Phrases:
        """The words to speak in: the studio's once it is read, British English before."""
        return self._own_phrases if "studio" in self.__dict__ else british()

    @cached_property
    def _own_phrases(self) -> Phrases:
        return phrases_for_maker(self.studio.book)

    def turn(self, command: str) -> AbstractContextManager[None]:
        """Records are read when it is our turn, so that nothing is counted or noted twice."""
        return lock(self.folder, command) if self.folder.is_dir() else nullcontext()

    def say(self, words: Words, *, err: bool = False) -> None:
        """Print a sentence, in the language of the studio."""
        click.echo(self.phrases.tell(words), err=err)

    def tell(self, problems: Iterable[Problem]) -> None:
        """Print problems with their places."""
        for problem in problems:
            click.echo(told(problem, self.phrases), err=True)

    def warn_of_mistakes(self) -> None:
        """One line about mistakes in the records, for commands that go on in spite of them."""
        if count := len(self.studio.mistakes):
            self.say(Said("check.warning", number=count), err=True)


def shown_path(path: Path) -> str:
    """A path from where we stand, when it lies below; else whole."""
    here = Path.cwd()
    return str(path.relative_to(here)) if path.is_relative_to(here) else str(path)
