"""What a file holds, as a SHA-256, without reading it again while nobody has touched it.

In: paths. Out: digests. Known files are told by size, the times they were written and moved, and
their number on the disk, as the system gives them (`stat`). A file that was touched less than two
seconds before it was read may change again within the same tick of a coarse clock (FAT counts two
seconds), so it is not kept; an entry in any doubt is a miss, and the file is read.
"""

import errno
import hashlib
import os
import time
from pathlib import Path

from provenance.build.cache import keep_quickly, kept, sealed, unsealed
from provenance.press.file_names import inside, parts_of

TICK = 2_000_000_000  # ns
_HEX = 64

State = tuple[int, int, int, int]  # size, written, changed (both ns), inode
Entry = tuple[int, int, int, int, str]  # and the SHA-256


class FileDigests:
    """The digests of one set of files, kept in the cache under `name` until they change."""

    def __init__(self, name: str) -> None:
        self._name = f"digests/{name}.json"
        self._known = _read(self._name)
        self._before = dict(self._known)
        self._seen: set[str] = set()

    def of(self, path: Path) -> str:
        """The SHA-256 of a file in hexadecimal; OSError where it can't be read."""
        place = str(path.absolute())
        self._seen.add(place)
        entry = self._known.pop(place, None)
        if entry is None or entry[:-1] != state_of(path.stat()):
            entry, is_settled = _taken(path)
            if not is_settled:
                return entry[-1]
        self._known[place] = entry
        return entry[-1]

    def keep(self) -> None:
        """Keep what was found for the next run; files that are gone are forgotten."""
        left = {
            place: entry
            for place, entry in self._known.items()
            if place in self._seen or Path(place).exists()
        }
        if left != self._before:
            keep_quickly(self._name, sealed(left))
            self._before = left


def state_of(found: os.stat_result) -> State:
    """What changes when a file is touched."""
    return found.st_size, found.st_mtime_ns, found.st_ctime_ns, found.st_ino


class PhotoDigests(FileDigests):
    """Of the photos of one studio, which several kinds of work ask for; by the names that records
    give them, below photos/."""

    def __init__(self, folder: Path) -> None:
        place = hashlib.sha256(str(folder.absolute()).encode()).hexdigest()[:16]
        super().__init__(f"photos-{place}")
        self._folder, self._home = folder, (folder / "photos").resolve()
        self._plain: dict[Path, bool] = {}
        self._held: dict[str, str] = {}

    def held(self, name: str) -> str:
        """The digest of a photo when it was first asked for, by its name in the record folder;
        OSError or Slip where it can't be had or lies elsewhere."""
        if name not in self._held:
            self._held[name] = self._found(name)
        return self._held[name]

    def _found(self, name: str) -> str:
        path = self._folder.joinpath(*parts_of(name))
        if path.is_symlink() or not self._is_inside(path.parent):
            path = inside(self._folder / "photos", name.removeprefix("photos/"))
        return self.of(path)

    def _is_inside(self, place: Path) -> bool:
        if place not in self._plain:
            self._plain[place] = place.resolve().is_relative_to(self._home)
        return self._plain[place]


def _taken(path: Path) -> tuple[Entry, bool]:
    """Read a file; whether it lay still long enough before, and all the while."""
    if path.exists() and not path.is_file():  # a pipe would be waited for
        raise OSError(errno.EINVAL, os.strerror(errno.EINVAL), str(path))
    with path.open("rb") as file:
        began, before = time.time_ns(), os.fstat(file.fileno())
        digest = hashlib.file_digest(file, "sha256").hexdigest()
        after = state_of(os.fstat(file.fileno()))
    newest = max(before.st_mtime_ns, before.st_ctime_ns)
    is_settled = after == state_of(before) and newest < began - TICK
    return (*after, digest), is_settled


def _read(name: str) -> dict[str, Entry]:
    """What was kept, if it is whole and of the right shape."""
    found = unsealed(kept(name))
    if not isinstance(found, dict):
        return {}
    try:
        return {str(place): _entry(*line) for place, line in found.items()}
    except (ValueError, TypeError):
        return {}


def _entry(size: int, written: int, changed: int, inode: int, digest: str) -> Entry:
    if len(digest) != _HEX:
        raise ValueError(digest)
    return int(size), int(written), int(changed), int(inode), digest
