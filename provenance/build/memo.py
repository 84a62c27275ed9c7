"""What earlier builds of a studio worked out, by name and key, in the platform's cache.

In: a name, the key of everything that its value comes from. Out: the value, when it was kept under
that very key and is whole; anything else is a miss. One file a studio, read row by row, so that a
large studio is not held in memory. Kept values come back through a door that knows our own facts
and plain values alone, so that they can't run anything, whoever wrote them; a record folder never
carries any.
"""

import hashlib
import os
import pickle
import sqlite3
from collections.abc import Callable, Collection
from contextlib import suppress
from pathlib import Path
from typing import Any, Self, TypeVar

from provenance.build.early import memo_file
from provenance.records.kept import PLAIN
from provenance.unpickled import unpickled

Value = TypeVar("Value")
_SMALL = ("card", "note", "cell", "certificate", "pictures", "row", "share")
_MARK = 16
_MOST_WAITING = 4_000_000  # bytes held in memory before they are written down
_ROOMS = ("public", "papers", "press", "build", "site", "records", "reference")  # facts are made of
_OURS = ("provenance.problems", *(f"provenance.{room}." for room in _ROOMS))
_PLAIN = PLAIN | {("decimal", "Decimal")}
_FAULTS = (sqlite3.Error, OSError)
_UNREADABLE = (pickle.UnpicklingError, EOFError, AttributeError, ImportError, IndexError,
               TypeError, ValueError)  # fmt: skip


class Memo:
    """Values by name; as a context it keeps what was put in when it ends."""

    def __init__(self, folder: Path) -> None:
        """The memo of the studio whose records lie in this folder."""
        self._fresh: dict[str, tuple[str, bytes]] = {}
        self._waiting = 0  # bytes among the fresh
        self._bundles: dict[str, dict[str, tuple[str, Any]]] = {}
        self._touched: set[str] = set()
        self._file = _opened(memo_file(folder))

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def get(self, name: str, key: str) -> Any:
        """The value kept under this name and key; None for a miss."""
        bundle, last = _bundle(name)
        if bundle:
            known, value = self._bundled(bundle).get(last, ("", None))
            return value if known == key else None
        if name in self._fresh:
            known, content = self._fresh[name]
            return _loaded(content) if known == key else None
        return self._read(name, key)

    def put(self, name: str, key: str, value: Any) -> None:
        """Keep a value; what was kept under this name before is gone."""
        bundle, last = _bundle(name)
        if bundle:
            self._bundled(bundle)[last] = key, value
            self._touched.add(bundle)
        else:
            content = pickle.dumps(value, protocol=5)
            self._fresh[name] = (key, _mark(content) + content)
            self._waiting += len(content)
            if self._waiting > _MOST_WAITING:
                self._write_down()

    def once(self, name: str, key: str, work: Callable[[], Value]) -> Value:
        """A value from before, else worked out now and kept."""
        found: Any = self.get(name, key)
        if found is None:
            found = work()
            self.put(name, key, found)
        return found  # type: ignore[no-any-return]

    def drop_others(self, numbers: Collection[str]) -> None:
        """Drop what was kept of pieces that are gone; a name ends with the number of its piece."""
        for name, bundle in self._bundles.items():
            for number in bundle.keys() - numbers:
                del bundle[number]
                self._touched.add(name)
        if self._file:
            with suppress(*_FAULTS), self._file:
                names = [name for (name,) in self._file.execute("SELECT name FROM kept")]
                about = ((name, name.rpartition(" ")[2]) for name in names)
                gone = [
                    (name,) for name, last in about if last not in numbers and last[:1].isdigit()
                ]
                self._file.executemany("DELETE FROM kept WHERE name = ?", gone)

    def close(self) -> None:
        """Write down what was put in; without room it is lost."""
        if not self._file:
            return
        for name in self._touched:
            content = pickle.dumps(self._bundles[name], protocol=5)
            self._fresh[name] = ("", _mark(content) + content)
        self._write_down()
        with suppress(*_FAULTS):
            self._file.close()
        self._file = None

    def _write_down(self) -> None:
        """Write what is fresh into the file, where there is one; what finds no room is lost."""
        if self._file:
            rows = [(name, *pair) for name, pair in self._fresh.items()]
            with suppress(*_FAULTS), self._file:
                self._file.executemany("INSERT OR REPLACE INTO kept VALUES (?, ?, ?)", rows)
            self._fresh.clear()
            self._waiting = 0

    def _read(self, name: str, key: str) -> Any:
        if self._file:
            with suppress(*_FAULTS):
                asked = "SELECT value FROM kept WHERE name = ? AND key = ?"
                for (content,) in self._file.execute(asked, (name, key)):
                    return _loaded(content)
        return None

    def _bundled(self, name: str) -> dict[str, tuple[str, Any]]:
        if name not in self._bundles:
            self._bundles[name] = self._read(name, "") or {}
        return self._bundles[name]


def _bundle(name: str) -> tuple[str, str]:
    """Small values of all pieces lie together: the bundle, and the number there; '' for others."""
    start, _, last = name.rpartition(" ")
    return (f"all {start}", last) if start.startswith(_SMALL) else ("", "")


def _opened(path: Path) -> sqlite3.Connection | None:
    """The file, made anew when it is damaged; None where there is no place for it, or another run
    has it for itself."""
    for _ in range(2):
        try:
            path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            if path.exists() and not _is_ours(path):
                return None
            file = sqlite3.connect(path, timeout=1.0)
            file.execute("PRAGMA synchronous = OFF")  # a lost row is a miss
            file.execute("CREATE TABLE IF NOT EXISTS kept(name PRIMARY KEY, key, value)")
            return file
        except (sqlite3.OperationalError, OSError):
            return None
        except sqlite3.Error:
            with suppress(OSError):
                path.unlink()
    return None


def _is_ours(path: Path) -> bool:
    """Whether nobody else could have written it."""
    found = path.stat()
    is_own = not hasattr(os, "getuid") or found.st_uid == os.getuid()
    return is_own and not found.st_mode & 0o022


def _mark(content: bytes) -> bytes:
    return hashlib.blake2b(content, digest_size=_MARK).digest()


def _loaded(kept: Any) -> Any:
    """A value as it was put in; None when it was damaged or is of another version."""
    if not isinstance(kept, bytes) or kept[:_MARK] != _mark(kept[_MARK:]):
        return None
    with suppress(*_UNREADABLE):
        return unpickled(kept[_MARK:], _OURS, _PLAIN)
    return None
