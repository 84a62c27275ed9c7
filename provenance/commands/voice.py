"""How a command speaks: every line goes through the phrases of a language."""

from collections.abc import Iterable

import click

from provenance.commands.progress import Progress
from provenance.language.phrases import Phrases, british
from provenance.language.telling import told, told_slip
from provenance.problems import Problem, Slip, Words


class Voice:
    """Says sentences; in British English until it learns better."""

    @property
    def phrases(self) -> Phrases:
        """The words to speak in."""
        return british()

    def say(self, words: Words, *, err: bool = False) -> None:
        """Print a sentence."""
        click.echo(self.phrases.tell(words), err=err)

    def tell(self, problems: Iterable[Problem]) -> None:
        """Print problems with their places."""
        for problem in problems:
            click.echo(told(problem, self.phrases), err=True)

    def refuse(self, slip: Slip) -> None:
        """Print what could not be done, and what could be."""
        click.echo(told_slip(slip, self.phrases), err=True)

    def progress(self, work: str) -> Progress:
        """A bar for long work, by its name under [progress]."""
        return Progress(self.phrases.say(f"progress.{work}"))
