"""What a record folder holds, told by digests: whether anything is another than it was.

In: the record folder. Out: for every file that a reading comes from a mark: its SHA-256; of photos
size, time and place on the disk. A file that was touched and holds the same has the same mark. For
looks without events: `states_of`, by size and time alone.
"""

import hashlib
import os
from collections.abc import Iterator
from contextlib import suppress
from functools import lru_cache
from pathlib import Path

from provenance.records.places import ENDINGS, OF_RECORDS

_BY_STATE = ("photos",)
_READ = ("", *OF_RECORDS, "pages", "templates", "studio/quotations")
State = tuple[int, int, int]  # size in bytes, time in ns, place on the disk
_MOST = 4_000_000  # bytes; larger files are told by their state


def marks_of(folder: Path) -> dict[str, str]:
    """A mark for every file that is read, by its path from the folder on."""
    return {name: _mark(path) for name, path in _files(folder)}


def states_of(folder: Path) -> dict[str, State]:
    """Size, time and place of every file that is read, and of the folder itself."""
    found = {name: state_of(path) for name, path in _files(folder)}
    return {**found, "": state_of(folder)}


def state_of(path: Path) -> State:
    """Size, time and place of one file; noughts for one that is gone."""
    with suppress(OSError):
        found = path.stat()
        return (0 if path.is_dir() else found.st_size, _time(found), found.st_ino)
    return 0, 0, 0


def _time(found: os.stat_result) -> int:
    """A folder's time says nothing that its files don't say."""
    import stat

    return 0 if stat.S_ISDIR(found.st_mode) else found.st_mtime_ns


def _files(folder: Path) -> Iterator[tuple[str, Path]]:
    for sub in (*_READ, *_BY_STATE):
        with suppress(OSError):
            for each in sorted(os.scandir(folder / sub), key=lambda entry: entry.name):
                if _counts(sub, each.name) and each.is_file():
                    yield f"{sub}/{each.name}".lstrip("/"), Path(each.path)


def _counts(sub: str, name: str) -> bool:
    return not name.startswith(".") and (bool(sub) or name.lower().endswith(ENDINGS))


def _mark(path: Path) -> str:
    with suppress(OSError):
        state = state_of(path)
        if path.parent.name not in _BY_STATE and state[0] <= _MOST:
            return _digest(path, state)
        return f"{state}"
    return ""


@lru_cache(maxsize=20_000)
def _digest(path: Path, _state: State) -> str:
    """The SHA-256 of a file that is as it was: it is read again once its state is another."""
    return hashlib.sha256(path.read_bytes()).hexdigest()
