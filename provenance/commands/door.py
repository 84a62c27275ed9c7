"""The one door for what can't be done: told in words, with an exit code.

In: a command that runs. Out: 1 when something can't be done, told in the studio's language; 2 for
wrong usage. Commands let every Slip through to here.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import click

from provenance.commands.voice import Voice
from provenance.language.phrases import british
from provenance.problems import Slip, WrongWish
from provenance.reference.signs import visible


@contextmanager
def typed_visible() -> Iterator[None]:
    """What was typed is named in what click says of it: without signs that command a terminal."""
    try:
        yield
    except click.ClickException as wrong:
        vars(wrong)["message"] = wrong.message and visible(wrong.message)
        raise


@contextmanager
def slips_told(ctx: click.Context) -> Iterator[None]:
    """What a command could not do is told, and ends it."""
    try:
        yield
    except Slip as slip:
        voice = ctx.obj if isinstance(ctx.obj, Voice) else Voice()
        voice.refuse(slip)
        ctx.exit(2 if isinstance(slip, WrongWish) else 1)


def read_as(read: Callable[[str], Any]) -> Callable[[Any, Any, str | None], Any]:
    """For an option that is read as in the records: a word that can't be is wrong usage."""

    return lambda _context, option, text: typed(read, text, option.opts[0])


def typed(read: Callable[[str], Any], text: str | None, option: str) -> Any:
    """What was typed to an option, read; what can't be read is wrong usage."""
    try:
        return read(text) if text is not None else None
    except Slip as slip:
        tell = british().tell
        said = ": ".join(filter(None, (tell(slip.what), tell(slip.remedy))))
        context = click.get_current_context(silent=True)
        raise click.BadParameter(said, context, param_hint=f"'{option}'") from slip
