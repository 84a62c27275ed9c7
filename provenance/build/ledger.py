"""The list of printed numbers is written here and nowhere else, and its second copy with it.

In: lines for studio/printed.yaml. Out: the list with them, each chained to all before it, and then
a copy in `.printed/`, named by the day: what the list said at the end of the last three days on
which something was printed. The list comes first: a run that is killed between the two leaves a
copy that the list goes on from, and the next run that prints brings it up to date.
"""

from contextlib import suppress
from datetime import date
from pathlib import Path

from provenance.output import append_text, disk_told, write_file
from provenance.problems import Said, Slip
from provenance.records.folder import leads_inside
from provenance.records.printed import FILE, Chain, chained

COPIES = ".printed"
KEPT_DAYS = 3
NOTHING_YET = b"# nothing was printed yet\n"
_A_DAY = "[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9].yaml"


def list_path(folder: Path) -> Path:
    """Where the list stands."""
    return folder / "studio" / f"{FILE}.yaml"


def read_list(folder: Path) -> Chain:
    """The list as it is on the disk; empty where there is none."""
    return Chain(_bytes(list_path(folder)))


def begin_printing(folder: Path, today: date) -> None:
    """Before the first paper of a studio: the copy says that nothing was printed yet.

    So a paper without a line is known for one whose run was killed, not for a lost list.
    """
    if not list_path(folder).exists() and not copies(folder):
        keep_copy(folder, NOTHING_YET, today)


def note_printed(folder: Path, lines: str, today: date) -> None:
    """Add lines to the list, then bring the copy up to date; the lock is the caller's."""
    path = list_path(folder)
    append_text(path, chained(_bytes(path), lines))
    keep_copy(folder, _bytes(path), today)


def catch_up(folder: Path, today: date) -> None:
    """Bring a copy up to date that a run left behind which was killed after it wrote the list."""
    raw, days = _bytes(list_path(folder)), _days(folder)
    if raw and days:
        now, copy = Chain(raw), Chain(_bytes(days[-1]))
        is_behind = copy.raw == NOTHING_YET or copy.begins(now)
        if copy.raw != raw and is_behind and now.broken is None:
            keep_copy(folder, raw, today)


def keep_copy(folder: Path, raw: bytes, today: date) -> None:
    """The copy of today; one of a later day goes on, should the clock have gone back."""
    place = folder / COPIES
    if not leads_inside(place, folder):
        raise Slip(Said("ledger.leads_out"), Said("file.keep_records"))
    days = [path.stem for path in _days(folder)]
    day = max([today.isoformat(), *days])
    write_file(place / f"{day}.yaml", raw)
    for old in sorted({*days, day})[:-KEPT_DAYS]:
        with suppress(OSError):
            (place / f"{old}.yaml").unlink()


def copies(folder: Path) -> tuple[tuple[str, Chain], ...]:
    """Every copy, as far as it is sound, and its name in the record folder; the newest first."""
    days = reversed(_days(folder))
    return tuple((f"{COPIES}/{path.name}", Chain(_bytes(path)).sound) for path in days)


def copied_numbers(folder: Path) -> set[str]:
    """Every number that stands in a copy, be it in what is left of a line."""
    return {number for path in _days(folder) for number in Chain(_bytes(path)).numbers}


def _days(folder: Path) -> list[Path]:
    place = folder / COPIES
    return sorted(place.glob(_A_DAY)) if leads_inside(place, folder) else []


def _bytes(path: Path) -> bytes:
    if not path.is_file():
        return b""
    with disk_told(path):
        return path.read_bytes()
