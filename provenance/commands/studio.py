"""Old names for `commands.here` and `commands.door`, for commands that still tell slips themselves.

In: what they pass. Out: what `Here` and the door do. It goes when the last of them lets its slips
through to the door.
"""

from __future__ import annotations

import sys
from contextlib import AbstractContextManager
from typing import NoReturn

import click

from provenance.commands.here import Here
from provenance.commands.place import shown_path, today
from provenance.language.phrases import phrases_for_maker
from provenance.studio import Studio as Opened

__all__ = ["Here", "Opened", "refuse", "shown_path", "today", "turn", "warn_of"]


def turn(here: Here, command: str) -> AbstractContextManager[None]:
    """`Here.turn`."""
    return here.turn(command)


def refuse(message: object, code: int) -> NoReturn:
    """Say why nothing was done, and stop."""
    click.echo(message, err=True)
    sys.exit(code)


def warn_of(opened: Opened) -> None:
    """`Here.warn_of_mistakes`."""
    if count := len(opened.mistakes):
        click.echo(phrases_for_maker(opened.book).say("check.warning", number=count), err=True)
