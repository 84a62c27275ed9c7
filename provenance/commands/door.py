"""The one door for errors: what went wrong in words, and the exit code.

In: a command that runs. Out: 0 well; 1 when something can't be done, told in the studio's
language; 2 for wrong usage; 3 for our own fault, with a log to send. Commands let every Slip
through to here.
"""

from __future__ import annotations

import errno
import io
import sys
import tempfile
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from typing import Any

import click

from provenance import __version__
from provenance.commands.here import Here
from provenance.language.phrases import british
from provenance.language.telling import told_slip
from provenance.problems import Said, Slip, WrongWish

_THE_SYSTEMS = (errno.ENOSPC, errno.EPIPE, errno.EIO)


def read_as(read: Callable[[str], Any]) -> Callable[[Any, Any, str | None], Any]:
    """For an option that is read as in the records: a word that can't be is wrong usage."""

    def check(_context: Any, _option: Any, text: str | None) -> Any:
        try:
            return read(text) if text is not None else None
        except Slip as slip:
            tell = british().tell
            raise click.BadParameter(f"{tell(slip.what)}: {tell(slip.remedy)}") from slip

    return check


@contextmanager
def slips_told(ctx: click.Context) -> Iterator[None]:
    """What a command could not do is told, and ends it."""
    try:
        yield
    except Slip as slip:
        phrases = ctx.obj.phrases if isinstance(ctx.obj, Here) else british()
        click.echo(told_slip(slip, phrases), err=True)
        ctx.exit(2 if isinstance(slip, WrongWish) else 1)


@contextmanager
def faults_told() -> Iterator[None]:
    """What nobody foresaw becomes a log and exit code 3, never a traceback."""
    try:
        yield
    except OSError as error:
        if error.errno not in _THE_SYSTEMS:
            _own_fault(error)
        _say_last(Said("door.system", why=error.strerror or ""))
        sys.exit(1)
    except Exception as error:
        _own_fault(error)


def _say_last(words: Said) -> None:
    """A last word, if anyone still listens; what is left unsaid on stdout is dropped."""
    sys.stdout = io.TextIOWrapper(io.BytesIO())
    with suppress(OSError):
        click.echo(british().tell(words), err=True)


def _own_fault(error: BaseException) -> None:
    lines = "".join(traceback.format_exception(error))
    with tempfile.NamedTemporaryFile(
        "w", prefix="provenance-", suffix=".log", delete=False, encoding="utf-8"
    ) as log:
        log.write(f"provenance {__version__}, Python {sys.version}\n{lines}")
    said = Said("door.our_fault", error=type(error).__name__, log=log.name)
    click.echo(british().tell(said), err=True)
    sys.exit(3)
