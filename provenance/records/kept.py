"""Records that were read before, kept so that only changed files are read again.

In: what an earlier run left (digest -> bytes). Out: the records of files whose bytes, name, studio
habits and reader are the same; what this run leaves. Only what was read without a word of mistake
or remark is kept, and anything doubtful is read again: what is kept saves time and decides nothing.
Bytes become records through a door that knows our frozen records and plain numbers alone, so that
they can't run anything, whoever wrote them.
"""

import hashlib
import pickle
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from provenance.problems import Problems
from provenance.records.numbers import Habits, quantity_again
from provenance.unpickled import unpickled

Read = TypeVar("Read")
_OURS = ("provenance.problems", "provenance.records.")
PLAIN = frozenset((
    ("fractions", "Fraction"), ("datetime", "date"), ("collections", "Counter"),
    (quantity_again.__module__, quantity_again.__name__),
))  # fmt: skip


@dataclass(slots=True)
class Kept:
    """What was kept and, under `now`, what is worth keeping; `reader` marks the program, `marks`
    are the digests of the files of this reading; `ready` is what was read ahead."""

    before: Mapping[str, bytes]
    reader: str
    now: dict[str, bytes] = field(default_factory=dict)
    marks: dict[str, str] = field(default_factory=dict)
    ready: dict[str, Any] = field(default_factory=dict)

    def key(self, kind: str, file: str, habits: Habits) -> str:
        """What a file that was marked is known by: all that its record comes from."""
        state = repr((self.reader, kind, file, habits, self.marks[file]))
        return hashlib.sha256(state.encode("utf-8", "replace")).hexdigest()

    def read(
        self, key: str, kind: type[Read], problems: Problems, read: Callable[[], Read | None]
    ) -> Read | None:
        """What was kept under a key, else what `read` gives; kept where nothing was wrong."""
        if key in self.ready:
            found: Read | None = self.ready.pop(key)
            return found
        content = self.before.get(key, b"")
        found = _record(content, kind) if content else None
        if found is None:
            already = len(problems)
            found = read()
            content = pickle.dumps(found, 5) if found and len(problems) == already else b""
        if content:
            self.now[key] = content
        return found


def _record(content: bytes, kind: type[Read]) -> Read | None:
    try:
        found = unpickled(content, _OURS, PLAIN)
    except Exception:  # damaged bytes can fail in any way; the file is read again
        return None
    return found if isinstance(found, kind) else None
