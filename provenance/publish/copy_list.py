"""The list of one copy: what it holds, in lines that a shell can read.

In: the files of a record folder. Out: bytes, a file a line with a tab between: where its content
is stored, SHA-256, size in bytes, when it was written (UTC, to the nanosecond), its path; by path.
A copy counts when its list lies there, which goes last. Lists are named by the moment (UTC).
"""

import os
import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from provenance.problems import Said
from provenance.publish.coming import leads_out
from provenance.publish.refused import Refused

FOLDER = "lists/"
_HEAD = b"# stored as\tSHA-256\tbytes\twritten\tpath\n"
_SECOND = 10**9
_STAMP = "%Y-%m-%dT%H%M%SZ"
_STORED = re.compile(r"files/[0-9a-f]{64}(\.[a-z0-9]{1,5})?")
_BESIDE = ("key.age", "RESTORE.txt")
# what is hidden is never copied, but for `.printed`; a list that names it was written by others
_PATH = re.compile(r"records/(?:\.printed\Z|\.printed/)?(?:[^./][^/]*(?:/[^./][^/]*)*)?")
_KEY = re.compile(r"keys/[^./][^/]*\.pem")
_NAME = re.compile(r"lists/([0-9]{4}-[0-9]{2}-[0-9]{2})T[0-9]{6}Z\.txt(\.age)?")


@dataclass(frozen=True, slots=True)
class Entry:
    """A file: where its content is stored, what it is, when it was written (ns since 1970), and
    its path: `records/...` below the record folder, `keys/...` a secret key."""

    stored: str
    digest: str
    size: int
    written: int
    path: str


def to_bytes(entries: Iterable[Entry]) -> bytes:
    """The list."""
    lines = (
        f"{e.stored}\t{e.digest}\t{e.size}\t{_as_time(e.written)}\t{e.path}\n"
        for e in sorted(entries, key=lambda each: each.path)
    )
    return _HEAD + b"".join(map(os.fsencode, lines))


def of_bytes(data: bytes, name: str) -> tuple[Entry, ...]:
    """The list read; Refused where it is none, or a path in it leads out."""
    try:
        lines = os.fsdecode(data.removeprefix(_HEAD)).split("\n")[:-1]
        return tuple(_entry(*line.split("\t")) for line in lines)
    except (ValueError, TypeError, OverflowError):
        raise Refused(Said("second_place.list_broken", name=name)) from None


def name_of(moment: datetime, before: Iterable[str], ending: str) -> str:
    """The name of a new list: of this moment, and after every one that is there."""
    stamps = [name[len(FOLDER) :].partition(".")[0] for name in before if day_of(name)]
    last = max((datetime.strptime(f"{each}+0000", f"{_STAMP}%z") for each in stamps), default=None)
    if last and last >= moment.replace(microsecond=0):
        moment = last + timedelta(seconds=1)
    return f"{FOLDER}{moment.astimezone(UTC):{_STAMP}}.txt{ending}"


def day_of(name: str) -> date | None:
    """The day of a list; None for what is no list."""
    found = _NAME.fullmatch(name)
    return date.fromisoformat(found[1]) if found else None


def is_of_copy(name: str) -> bool:
    """Whether a file at a place is part of copies, as no file of a site is."""
    return name in _BESIDE or bool(_STORED.fullmatch(name) or day_of(name))


def lists_in(files: Iterable[str]) -> list[str]:
    """The lists at a place, oldest first."""
    return sorted(name for name in files if day_of(name))


def _entry(stored: str, digest: str, size: str, written: str, path: str) -> Entry:
    is_well = _STORED.fullmatch(stored) and re.fullmatch("[0-9a-f]{64}", digest)
    belongs = not leads_out(path) and (_PATH.fullmatch(path) or _KEY.fullmatch(path))
    if not is_well or not belongs:
        raise ValueError(path)
    return Entry(stored, digest, int(size), _of_time(written), path)


def _as_time(written: int) -> str:
    seconds, rest = divmod(written, _SECOND)
    return f"{datetime.fromtimestamp(seconds, UTC):%Y-%m-%dT%H:%M:%S}.{rest:09}Z"


def _of_time(text: str) -> int:
    whole, _, rest = text.removesuffix("Z").partition(".")
    if not re.fullmatch("[0-9]{9}", rest):
        raise ValueError(text)
    return int(datetime.fromisoformat(f"{whole}+00:00").timestamp()) * _SECOND + int(rest)
