"""How a command speaks: every line goes through the phrases of a language."""

from collections.abc import Iterable
from typing import Any

import click

from provenance.commands.fitting import fitted
from provenance.commands.progress import Progress
from provenance.language.phrases import Phrases, british
from provenance.language.telling import told, told_slip
from provenance.problems import Problem, Slip, Words
from provenance.reference.signs import code, visible


def show(*parts: str, err: bool = False) -> None:
    """Print a line: the one way to the terminal. No sign in it commands the terminal, moves what
    follows, or turns the line round; a part may be `styled`."""
    click.echo("".join(part if isinstance(part, _Styled) else _seen(part) for part in parts),
               err=err)  # fmt: skip


def _seen(text: str) -> str:
    return visible(text).replace("\t", code("\t"))


class _Styled(str):
    """Text that was made visible before the terminal's own signs came round it."""


def styled(text: str, **style: Any) -> str:
    """Text in bold or in a colour, where the terminal has them."""
    return _Styled(click.style(visible(text), **style))


class Voice:
    """Says sentences; in British English until it learns better."""

    @property
    def phrases(self) -> Phrases:
        """The words to speak in."""
        return british()

    def say(self, words: Words, *, err: bool = False) -> None:
        """Print a sentence."""
        show(fitted(self.phrases.tell(words), err=err), err=err)

    def tell(self, problems: Iterable[Problem]) -> None:
        """Print problems with their places."""
        for problem in problems:
            show(fitted(told(problem, self.phrases), err=True), err=True)

    def refuse(self, slip: Slip) -> None:
        """Print what could not be done, and what could be."""
        show(fitted(told_slip(slip, self.phrases), err=True), err=True)

    def progress(self, work: str) -> Progress:
        """A bar for long work, by its name under [progress]."""
        return Progress(self.phrases.say(f"progress.{work}"))
