"""Records that were read before, kept so that only changed files are read again.

In: what an earlier run left (digest -> bytes). Out: the records of files whose bytes, name, studio
habits and reader are the same; what this run leaves. Only what was read without a word of mistake
or remark is kept, and anything doubtful is read again: what is kept saves time and decides nothing.
Bytes become records through a door that knows our frozen records and plain numbers alone, so that
they can't run anything, whoever wrote them.
"""

import hashlib
import io
import pickle
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any, TypeVar

from provenance.problems import Problems
from provenance.records.numbers import Habits, quantity_again

Read = TypeVar("Read")
_OURS = ("provenance.problems", "provenance.records.")
_PLAIN = {("fractions", "Fraction"), ("datetime", "date"), ("collections", "Counter")}


@dataclass(slots=True)
class Kept:
    """What was kept and, under `now`, what is worth keeping; `reader` marks the program, `marks`
    are the digests of the files of this reading."""

    before: Mapping[str, bytes]
    reader: str
    now: dict[str, bytes] = field(default_factory=dict)
    marks: dict[str, str] = field(default_factory=dict)

    def key(self, kind: str, file: str, habits: Habits) -> str:
        """What a file that was marked is known by: all that its record comes from."""
        state = repr((self.reader, kind, file, habits, self.marks[file]))
        return hashlib.sha256(state.encode("utf-8", "replace")).hexdigest()

    def read(
        self, key: str, kind: type[Read], problems: Problems, read: Callable[[], Read | None]
    ) -> Read | None:
        """What was kept under a key, else what `read` gives; kept where nothing was wrong."""
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
        found = _Door(io.BytesIO(content)).load()
    except Exception:  # damaged bytes can fail in any way; the file is read again
        return None
    return found if isinstance(found, kind) else None


class _Door(pickle.Unpickler):
    """Knows the classes of records, and nothing else that could be called."""

    def find_class(self, module: str, name: str) -> Any:
        return _known(module, name)


@cache
def _known(module: str, name: str) -> Any:
    found = getattr(sys.modules.get(module), name, None)
    if (module, name) in _PLAIN or found is quantity_again:
        return found
    is_ours = module.startswith(_OURS) and isinstance(found, type) and found.__module__ == module
    if not is_ours:
        raise pickle.UnpicklingError(f"{module}.{name}")
    return found
