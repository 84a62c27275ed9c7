"""What this machine remembers of copies of a studio, and when its maker is reminded.

In: the record folder, today. Out: a small file beside the secret keys, in the platform's config
folder: the day of the last copy, the place it went to, what locks copies there (the public half,
and the locked file of the secret one: a new copy asks for no pass-phrase). Nothing in the records
changes by a copy. A month is what a maker can bear to type again. Who names a second place is
reminded by each build once that is over; who names none, a month after the first build and then
each quarter; nobody while the day is a set one (SOURCE_DATE_EPOCH), as builds are repeated then.
"""

import hashlib
import json
import os
from contextlib import suppress
from dataclasses import asdict, dataclass, replace
from datetime import date, timedelta
from pathlib import Path

from provenance.build.secret_keys import key_folder
from provenance.output import write_file
from provenance.problems import SILENCE, Said, Slip
from provenance.studio import Studio

MONTH, QUARTER = timedelta(days=31), timedelta(days=91)


@dataclass(frozen=True, slots=True)
class Remembered:
    """Days as texts ('' for never): of the last copy, and before which nothing is said where there
    is no second place; the place, its recipient and locked key."""

    day: str = ""
    quiet_until: str = ""
    place: str = ""
    recipient: str = ""
    key: str = ""


def remembered(folder: Path) -> Remembered:
    """What is known of a record folder; what can't be read is not known."""
    with suppress(OSError, ValueError, TypeError):
        found = Remembered(**json.loads(_path(folder).read_bytes()))
        for day in (found.day, found.quiet_until):
            date.fromisoformat(day or "2026-01-01")
        return found
    return Remembered()


def remember(folder: Path, what: Remembered) -> None:
    """Keep it. Slip where there is no room for it."""
    path = _path(folder)
    with suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    write_file(path, json.dumps(asdict(what), indent=1).encode())


def note_copy(folder: Path, what: Remembered, today: date) -> None:
    """A copy was made today."""
    remember(folder, replace(what, day=today.isoformat()))


def reminded(studio: Studio) -> tuple[Said, ...]:
    """The line that a build ends with, where there is one to say."""
    said = reminder(studio.book.folder, studio.today, has_place=_has_place(studio))
    return (said,) if said else ()


def reminder_shown(studio: Studio) -> Said:
    """What the next build would say; nothing is noted, so that it is said as long as it holds."""
    known, has_place = remembered(studio.book.folder), _has_place(studio)
    is_time = _is_time(known, studio.today, has_place=has_place)
    return _said(known, has_place=has_place) if is_time else SILENCE


def reminder(folder: Path, today: date, *, has_place: bool) -> Said:
    """What a build says of copies; SILENCE where all is well. Who names no second place is left in
    peace for a while, which is noted."""
    known = remembered(folder)
    if not _is_time(known, today, has_place=has_place):
        return SILENCE
    said = _said(known, has_place=has_place)
    if not has_place:
        until = today + (QUARTER if said else MONTH)
        try:
            remember(folder, replace(known, quiet_until=until.isoformat()))
        except Slip:
            return SILENCE  # where nothing can be noted it would be said in every build
    return said


def _has_place(studio: Studio) -> bool:
    publishing = studio.book.publishing
    return bool(publishing and publishing.second_place)


def _is_time(known: Remembered, today: date, *, has_place: bool) -> bool:
    """Whether a month has gone by since the last copy, and no peace is noted."""
    last = _last(known)
    is_young = last is not None and today - last <= MONTH
    is_quiet = not has_place and today.isoformat() < known.quiet_until
    return not (os.environ.get("SOURCE_DATE_EPOCH") or is_young or is_quiet)


def _said(known: Remembered, *, has_place: bool) -> Said:
    last = _last(known)
    if has_place:
        return Said("second_place.old", day=last) if last else Said("second_place.never")
    return Said("second_place.think") if known.quiet_until or last else SILENCE


def _last(known: Remembered) -> date | None:
    return date.fromisoformat(known.day) if known.day else None


def _path(folder: Path) -> Path:
    name = hashlib.sha256(os.fsencode(folder.resolve())).hexdigest()[:16]
    return key_folder().parent / "copies" / f"{name}.json"
