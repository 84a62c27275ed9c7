"""Sentences for a terminal of any width.

In: text. Out: the same in lines that fit a terminal, as wide as it is or as `COLUMNS` says;
elsewhere, as in a pipe, each sentence stays on its line, so that it can be searched. No word is
broken, since a path or a command is there to be copied.
"""

import shutil
import sys
from collections.abc import Iterator
from textwrap import wrap


def fitted(text: str, *, err: bool = False) -> str:
    """The text wrapped, what goes on set in below its beginning."""
    room = _room(err=err)
    return "\n".join(part for line in text.split("\n") for part in _parts(line, room))


def fits(text: str) -> bool:
    """Whether it needs no wrapping."""
    room = _room(err=False)
    return not room or len(text) <= room


def _room(*, err: bool) -> int:
    """Columns there are; 0 where nobody counts them."""
    return shutil.get_terminal_size().columns if is_terminal(err=err) else 0


def is_terminal(*, err: bool) -> bool:
    """Whether somebody reads along."""
    return (sys.stderr if err else sys.stdout).isatty()


def _parts(line: str, room: int) -> Iterator[str]:
    if not room or len(line) <= room:
        yield line
        return
    lead = " " * (len(line) - len(line.lstrip()) + 2)
    yield from wrap(line, max(room, len(lead) + 12), subsequent_indent=lead,
                    break_long_words=False, break_on_hyphens=False)  # fmt: skip
