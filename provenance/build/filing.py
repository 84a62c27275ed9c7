"""Papers that were handed out stay: a new one never takes the place of one of an earlier day.

In: where a paper belongs, its bytes or the file they wait in, today. Out: the file. What lay there
and says something else is kept first, beside it under `kept/DAY/`, by the day it was made: sheets
that a gallery signed, the certificate that a buyer has. Of one day the last one counts, unless
every one does.
"""

import os
from datetime import UTC, date, datetime, time
from pathlib import Path

from provenance.output import coming, disk_told, holds, write_file

KEPT = "kept"


def file_paper(path: Path, content: bytes | Path, today: date, *, keeps_each: bool = False) -> None:
    """Write a paper in its place, and keep the one before it."""
    day = max(today, day_of(path)) if path.is_file() else today  # a clock may go backwards
    keep_paper(path, content, today, keeps_each=keeps_each)
    if path.is_file() and holds(path, content):
        take_sign_away(path)
        return
    write_file(path, content)
    if day_of(path) != day:  # a day that was set, so that a paper can be made again
        noon = datetime.combine(day, time(12), UTC).timestamp()
        os.utime(path, (noon, noon))
    take_sign_away(path)


def announce(path: Path) -> None:
    """Leave the sign of a paper that is to come, until it lies in its place: a run that is killed
    before has to be told from one that had nothing to write."""
    sign, *_ = _signs(path)
    with disk_told(sign):
        sign.parent.mkdir(parents=True, exist_ok=True)
        sign.touch()


def is_announced(path: Path) -> bool:
    """Whether a run was killed before it had put a paper in its place."""
    return any(map(os.path.lexists, _signs(path)))


def take_sign_away(path: Path) -> None:
    """Of a paper that lies in its place."""
    for sign in filter(os.path.lexists, _signs(path)):
        with disk_told(sign):
            sign.unlink()


def _signs(path: Path) -> tuple[Path, Path]:
    """What says that a paper is to come: a name of its own, since the half-written paper is taken
    away before it is written again; and that one, from a run that was killed."""
    return path.with_name(f".{path.name}.due"), coming(path)


def keep_paper(path: Path, content: bytes | Path, today: date, *, keeps_each: bool = False) -> None:
    """Keep what lies in the place of a paper that says something else."""
    if not path.is_file() or holds(path, content):
        return
    if keeps_each or day_of(path) != today:
        write_file(_free(path), path)


def day_of(path: Path) -> date:
    """The day a paper was made."""
    return datetime.fromtimestamp(path.stat().st_mtime, UTC).date()


def _free(path: Path) -> Path:
    """Where one is kept: under its day, beside others of that day that say something else."""
    folder, turn = path.parent / KEPT / day_of(path).isoformat(), 1
    kept = folder / path.name
    while kept.is_file() and not holds(kept, path):
        turn += 1
        kept = folder / f"{path.stem}-{turn}{path.suffix}"
    return kept
