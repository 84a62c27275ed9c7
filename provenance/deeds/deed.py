"""A deed not yet done: which files it changes, from what to what, and what it says of itself.

In: the studio, a record and wishes for it. Out: `Deed` and its `Change`s; the lines that differ.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher
from pathlib import Path

from provenance.output import disk_told
from provenance.problems import Place, Words
from provenance.records.patch import Wish, patched
from provenance.studio import Studio

_LINE_ENDS = re.compile(r"\r\n|\r|\n")


@dataclass(frozen=True, slots=True)
class Change:
    """One file, its bytes as they are and as they will be; None where there is no file."""

    path: Path
    name: str
    before: bytes | None
    after: bytes | None

    @property
    def turned(self) -> "Change":
        """The way back."""
        return Change(self.path, self.name, self.after, self.before)


@dataclass(frozen=True, slots=True)
class Deed:
    """What was asked for, in the words of the command; what it changes; what is to be said.

    `still` raises Slip where it can't be done any more, whatever its files say.
    """

    words: str
    changes: tuple[Change, ...]
    told: tuple[Words, ...] = ()
    still: Callable[[], None] = lambda: None


@dataclass(frozen=True, slots=True)
class Hunk:
    """Lines that go and lines that come, and where."""

    place: Place
    gone: tuple[str, ...]
    new: tuple[str, ...]


def change_of(studio: Studio, file: str, wishes: Iterable[Wish]) -> Change:
    """A record file (as it is named in places) with wishes carried out. Raises Slip."""
    path = studio.book.folder.parent / file
    with disk_told(path):
        before = path.read_bytes()
    return Change(path, file, before, patched(before, file, wishes))


def hunks_of(change: Change) -> Iterator[Hunk]:
    """The lines that differ, in their order; line ends are left out."""
    before, after = _lines(change.before), _lines(change.after)
    for how, first, end, new_first, new_end in SequenceMatcher(
        None, before, after, autojunk=False
    ).get_opcodes():
        if how != "equal":
            line = new_first if how == "insert" else first
            gone, new = before[first:end], after[new_first:new_end]
            yield Hunk(Place(change.name, line + 1, 1), tuple(gone), tuple(new))


def _lines(content: bytes | None) -> list[str]:
    lines = _LINE_ENDS.split((content or b"").decode("utf-8-sig"))
    return lines if lines[-1] else lines[:-1]
