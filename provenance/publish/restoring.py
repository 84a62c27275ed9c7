"""A copy put back into an empty folder, or read again where it lies.

In: a place, what opens its files. Out: every file that can be had, byte for byte and with its time,
and the names of those that can't: each is held against its digest, and one that is damaged is no
reason to lose the others. Secret keys go where secret keys lie, never among the records; one that
lies there already stays.
"""

import errno
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

from provenance.build.secret_keys import key_folder
from provenance.output import disk_told
from provenance.output.holding import digest
from provenance.problems import Said
from provenance.publish.copy_list import Entry, day_of, lists_in, of_bytes
from provenance.publish.giving import Gives, fetched, in_batches
from provenance.publish.locked import Opens
from provenance.publish.refused import Refused
from provenance.records.folder import printable

_FULL = (errno.ENOSPC, errno.EDQUOT)
Told = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Restored:
    """What came back: the day of the copy, how many files, how many keys, the names of what is
    damaged or gone, or has a name that can't be written here (`unwritten` alone)."""

    day: date
    files: int
    keys: int
    lost: tuple[str, ...]
    unwritten: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Checked:
    """What lies at a place: days of its copies (oldest first), how many files, which are damaged
    or gone."""

    days: tuple[date, ...]
    files: int
    lost: tuple[str, ...]


def list_of(files: Iterable[str], day: date | None) -> str:
    """The newest copy, or the last one up to a day; Refused where there is none."""
    names = lists_in(files)
    if not names:
        raise Refused(Said("second_place.nothing"), Said("second_place.copy_first"))
    found = [name for name in names if day is None or (day_of(name) or day) <= day]
    if not found:
        first = Said("second_place.first", day=day_of(names[0]))
        raise Refused(Said("second_place.none_then", day=day), first)
    return found[-1]


def restore(place: Gives, opens: Opens, name: str, folder: Path, told: Told) -> Restored:
    """Put a copy back into a folder; Refused where something lies in it."""
    with disk_told(folder):
        folder.mkdir(parents=True, exist_ok=True)
        if any(folder.iterdir()):
            what = Said("second_place.not_empty", folder=str(folder))
            raise Refused(what, Said("second_place.empty_one"))
        with TemporaryDirectory(prefix=".restoring-", dir=folder) as room:
            return _restore(_Coming(place, opens, folder, Path(room)), name, told)


@dataclass(frozen=True, slots=True)
class _Coming:
    """Files on their way home; what is not whole yet lies in a room of its own."""

    place: Gives
    opens: Opens
    folder: Path
    room: Path
    unwritten: list[str] = field(default_factory=list)

    def entries(self, name: str) -> tuple[Entry, ...]:
        """The list of a copy."""
        came = fetched(self.place, [name], self.room).get(name)
        opened = self.room / "list.txt"
        if came is None or not self.opens.write(came, opened):
            raise Refused(Said("second_place.list_broken", name=name), Said("second_place.older"))
        return of_bytes(opened.read_bytes(), name)

    def broken(self, batch: Sequence[Entry]) -> list[str]:
        """Where content is stored that is damaged or gone."""
        came, whole = fetched(self.place, [each.stored for each in batch], self.room), "whole"
        lost = []
        for each in batch:
            stored, opened = came.get(each.stored), self.room / whole
            is_open = stored is not None and self.opens.write(stored, opened)
            if not is_open or digest(opened) != each.digest:
                lost.append(each.stored)
        for path in came.values():
            path.unlink()
        return lost

    def bring(self, batch: Sequence[Entry]) -> Iterator[Entry]:
        """Put files in their places; those that can't be had."""
        came = fetched(self.place, sorted({each.stored for each in batch}), self.room)
        for each in batch:
            stored, whole = came.get(each.stored), self.room / "whole"
            is_open = stored is not None and self.opens.write(stored, whole)
            if not is_open or digest(whole) != each.digest or not self._can_lay(whole, each):
                yield each
        for path in came.values():
            path.unlink()

    def _can_lay(self, whole: Path, entry: Entry) -> bool:
        """Lay a file down; False where its name can't be had here, which is no reason to stop."""
        try:
            self._lay(whole, entry)
        except OSError as error:
            if error.errno in _FULL:
                raise
            self.unwritten.append(entry.path)
            return False
        return True

    def _lay(self, whole: Path, entry: Entry) -> None:
        kind, _, below = entry.path.partition("/")
        target = self.folder / below if kind == "records" else key_folder() / below
        if kind == "keys" and target.exists():
            return
        target.parent.mkdir(parents=True, exist_ok=True, mode=0o777 if kind == "records" else 0o700)
        whole.chmod(0o600 if kind == "keys" else 0o666 & ~_mask())
        os.utime(whole, ns=(entry.written, entry.written))
        if kind == "keys":  # the config folder may lie on another disk
            _carry(whole, target)
        else:
            whole.replace(target)


def _carry(whole: Path, target: Path) -> None:
    way = os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(way, "wb") as file:
        file.write(whole.read_bytes())


def _mask() -> int:
    """What the system takes off new files."""
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _restore(coming: _Coming, name: str, told: Told) -> Restored:
    entries = coming.entries(name)
    lost: list[str] = []
    done = 0
    for batch in in_batches(entries, lambda each: each.size):
        lost += [each.path for each in coming.bring(batch)]
        done += len(batch)
        told(done, len(entries))
    keys = [each.path for each in entries if each.path.startswith("keys/")]
    shown, unwritten = _shown(lost), _shown(coming.unwritten)
    day = day_of(name) or date.min
    return Restored(day, len(entries) - len(lost), len({*keys} - {*lost}), shown, unwritten)


def _shown(paths: Iterable[str]) -> tuple[str, ...]:
    return tuple(printable(path.removeprefix("records/")) for path in paths)


def check(place: Gives, told: Told) -> Checked:
    """Read all again that lies there. What is damaged is taken off the manifest, so that the next
    copy puts it there once more if the studio still has it."""
    manifest, lost, done = place.manifest(), [], 0
    with TemporaryDirectory(prefix="provenance-") as room:
        for batch in in_batches(sorted(manifest.files.items()), lambda item: item[1].size):
            came = fetched(place, [name for name, _ in batch], Path(room))
            for name, held in batch:
                if name not in came or held.digest not in ("", digest(came[name])):
                    lost.append(name)
            for path in came.values():
                path.unlink()
            done += len(batch)
            told(done, len(manifest.files))
    if lost:
        left = {name: held for name, held in manifest.files.items() if name not in lost}
        place.put_manifest(replace(manifest, files=left).to_bytes())
    days = tuple(day for name in lists_in(manifest.files) if (day := day_of(name)))
    return Checked(days, len(manifest.files), tuple(lost))


def check_lists(place: Gives, opens: Opens, names: Sequence[str], told: Told) -> Checked:
    """Read copies again where no manifest tells what was put there: each list, and all that it
    names."""
    lost: list[str] = []
    wanted: dict[str, Entry] = {}
    with TemporaryDirectory(prefix="provenance-") as room:
        coming = _Coming(place, opens, Path(room), Path(room))
        for name in names:
            try:
                wanted |= {each.stored: each for each in coming.entries(name)}
            except Refused:
                lost.append(name)
        done = 0
        for batch in in_batches(wanted.values(), lambda each: each.size):
            lost += coming.broken(batch)
            done += len(batch)
            told(done, len(wanted))
    days = tuple(day for name in names if (day := day_of(name)))
    return Checked(days, len(names) + len(wanted), tuple(lost))
