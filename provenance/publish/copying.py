"""A copy of a studio, put at its second place.

In: what belongs to it, a place, a way of storing. Out: every content that wasn't there yet, then
the list of the copy, which makes it count. Former copies stay: what is stored is never changed, and
nothing is ever taken away. The manifest is brought up to date as contents go up, so that a run that
was killed goes on where it was. A file that changes while it is copied is never stored under the
name of what it was: the folder is looked at again, so that the list tells of one moment.
"""

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import IO, cast

from provenance.output.holding import digest
from provenance.problems import Said
from provenance.publish import copy_list
from provenance.publish.belongs import Found, Look
from provenance.publish.copy_list import Entry
from provenance.publish.giving import Gives, fetched, in_batches
from provenance.publish.locked import Stores
from provenance.publish.manifest import Held, Manifest
from provenance.publish.place import Outgoing
from provenance.publish.refused import Refused

_TRIES = 3
Told = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Copied:
    """A copy: its list, how many files and bytes it holds, how many contents and bytes of them went
    up this time, what was left out."""

    name: str
    files: int
    size: int
    went: int
    went_size: int
    look: Look


class _Changed(Exception):
    """A file is not what it was when it was looked at."""


@dataclass(slots=True)
class Copying:
    """One copy on its way. `beside` are files that tell how to open it, at the top of the place."""

    place: Gives
    stores: Stores
    beside: Mapping[str, bytes]
    told: Told
    _manifest: Manifest | None = None
    _went: int = 0
    _went_size: int = 0

    def copy(self, looks: Callable[[], Look], moment: datetime) -> Copied:
        """Put a copy there. Refused where the folder never lies still, or the list that went up
        can't be had back as it went."""
        for _ in range(_TRIES):
            found = looks()
            try:
                return self._copy(found, moment)
            except _Changed:
                continue
        raise Refused(Said("second_place.restless"), Said("second_place.again"))

    @property
    def manifest(self) -> Manifest:
        """What lies there."""
        if self._manifest is None:
            self._manifest = self.place.manifest()
        return self._manifest

    def _copy(self, found: Look, moment: datetime) -> Copied:
        stored = {self.stores.stored_as(each.digest, each.path): each for each in found.files}
        wanted = {name: each for name, each in stored.items() if name not in self.manifest.files}
        with TemporaryDirectory(prefix="provenance-") as room:
            self._put_beside(Path(room))
            done = 0
            for batch in in_batches(wanted.items(), lambda item: item[1].size):
                self._put([self._staged(name, each, Path(room)) for name, each in batch])
                done += len(batch)
                self.told(done, len(wanted))
            name = self._put_list(found, moment, Path(room))
        sizes = [each.size for each in found.files]
        return Copied(name, len(sizes), sum(sizes), self._went, self._went_size, found)

    def _put_beside(self, room: Path) -> None:
        files = []
        for name, content in self.beside.items():
            held = Held(hashlib.sha256(content).hexdigest(), len(content))
            if self.manifest.files.get(name) != held:
                (room / name).write_bytes(content)
                files.append(Outgoing(name, room / name, held))
        self._put(files)

    def _put_list(self, found: Look, moment: datetime, room: Path) -> str:
        """The list, last of all; had back and held against what went."""
        entries = (
            Entry(self.stores.stored_as(e.digest, e.path), e.digest, e.size, e.written, e.path)
            for e in found.files
        )
        plain, ending = room / "list.txt", self.stores.ending
        plain.write_bytes(copy_list.to_bytes(entries))
        name = copy_list.name_of(moment, self.manifest.files, ending)
        with plain.open("rb") as source:
            going = self._written(name, source, room / "list.stored")
        self._put([going])
        back = fetched(self.place, [name], room / "back").get(name)
        if back is None or _held(back) != going.held:
            raise Refused(Said("second_place.not_back"), Said("second_place.check"))
        return name

    def _put(self, files: list[Outgoing]) -> None:
        if not files:
            return
        self.place.put(files, lambda _: None)
        more = {each.name: each.held for each in files}
        self._manifest = replace(self.manifest, files={**self.manifest.files, **more})
        self.place.put_manifest(self._manifest.to_bytes())
        for each in files:
            each.path.unlink()

    def _staged(self, name: str, found: Found, room: Path) -> Outgoing:
        """A file as it is stored, read once more; _Changed where it is another by now."""
        try:
            with found.place.open("rb") as file:
                source = _Read(file)
                going = self._written(name, cast(IO[bytes], source), room / Path(name).name)
        except FileNotFoundError:
            raise _Changed from None
        if source.digest != found.digest:
            raise _Changed
        self._went += 1
        self._went_size += found.size
        return going

    def _written(self, name: str, source: IO[bytes], target: Path) -> Outgoing:
        with target.open("wb") as file:
            self.stores.write(source, file)
        return Outgoing(name, target, _held(target))


class _Read:
    """A file that is read, with the digest of all that was."""

    def __init__(self, file: IO[bytes]) -> None:
        self._file, self._sum = file, hashlib.sha256()

    def read(self, size: int = -1) -> bytes:
        part = self._file.read(size)
        self._sum.update(part)
        return part

    @property
    def digest(self) -> str:
        return self._sum.hexdigest()


def _held(path: Path) -> Held:
    return Held(digest(path), path.stat().st_size)
