"""Whether to go on, asked at the terminal.

In: a question, or what the public would lose by a new site. Out: the run goes on, or ends. Without
a terminal nobody can be asked.
"""

import sys
from collections.abc import Sequence

import click

from provenance.build.taking import Lost, told_of
from provenance.commands.here import Here
from provenance.problems import Problem, Said, Slip, WrongWish


def is_terminal() -> bool:
    """Whether somebody can be asked."""
    return sys.stdin.isatty()


def ask(here: Here, question: str) -> None:
    """Put a question (its key); ends the run where the answer is no."""
    said = click.prompt(here.phrases.say(question), default="", show_default=False)
    if said.strip().lower() not in here.phrases.say("deed.yes").split():
        here.say(Said("deed.left"))
        sys.exit(1)


def ask_to_write(here: Here, *, yes: bool) -> None:
    """Whether what was shown may be written; ends the run where not."""
    if not yes:
        if not is_terminal():
            raise WrongWish(Said("deed.nobody"), Said("deed.say_yes"))
        ask(here, "deed.ask")


def allow_loss(here: Here, lost: Lost, problems: Sequence[Problem], *, yes: bool) -> None:
    """Whether the public may lose something; Slip, or the end of the run, where it may not."""
    if lost and not yes:
        here.tell(problems)
        if not is_terminal():
            raise Slip(told_of(lost), Said("build.if_meant"))
        here.say(told_of(lost))
        ask(here, "build.lose_ask")
