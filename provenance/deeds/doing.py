"""Deeds done and taken back: every file of a deed, or none.

In: a deed, the record folder; the lock is the caller's. Out: files changed, the journal kept. All
files are looked at first; the journal is written before them, so that a run that is killed in the
middle can be taken back; where one of them can't be written, those before it are put back.
"""

import errno
import os
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from provenance.deeds import journal
from provenance.deeds.deed import Change, Deed
from provenance.output import disk_told, true_place, write_beside
from provenance.problems import Said, Slip


def do(folder: Path, deed: Deed, today: date) -> None:
    """Do a deed as it was shown. Raises Slip where a file has changed, or can't be written."""
    deed.still()
    _look_at(deed.changes)
    before = journal.entries(folder)
    journal.note(folder, deed, today)
    try:
        _put(deed.changes)
    except BaseException:
        if all(_now(change) == change.before for change in deed.changes):
            journal.keep(folder, before)
        raise


def take_back(folder: Path, deed: Deed, kept: list[journal.Entry]) -> None:
    """Take a deed back as it was shown; the journal then has those that were `kept`."""
    _look_at(deed.changes)
    _put(deed.changes)
    journal.keep(folder, kept)


def _look_at(changes: Sequence[Change]) -> None:
    """See that every file is as it was read, and open to writing."""
    for change in changes:
        _refuse_changed(change)
        with disk_told(change.path):
            place = _place(change)
            if place.exists() and not (place.stat().st_mode & 0o222 and os.access(place, os.W_OK)):
                raise PermissionError(errno.EACCES, "", str(place))


def _refuse_changed(change: Change) -> None:
    if _now(change) != change.before:
        raise Slip(Said("deed.changed", file=change.name), Said("deed.look_again"))


def _put(changes: Sequence[Change]) -> None:
    """Every file, or, where one can't be written, none."""
    for turn, change in enumerate(changes):
        try:
            _refuse_changed(change)
            _write(change)
        except BaseException:
            for done in reversed(changes[: turn + 1]):
                if _now(done) == done.after:
                    _write(done.turned)
            raise


def _write(change: Change) -> None:
    """One file: its mode and owner stay, a link is followed; one that was not there, or goes."""
    with disk_told(change.path):
        place = _place(change)
        if change.after is None:
            place.unlink()
        else:
            write_beside(place, change.after, place.stat() if place.exists() else None)


def _place(change: Change) -> Path:
    return Path(os.path.realpath(true_place(change.path)))


def _now(change: Change) -> bytes | None:
    with disk_told(change.path):
        return change.path.read_bytes() if change.path.exists() else None
