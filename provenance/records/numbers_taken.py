"""Which numbers are taken, and the next free one.

In: the record folder, today's year. Out: the next number of a piece, commission or bath file. A
number counts as taken wherever it was ever written: in records, readable or not, in their file
names, in what was printed, in a commission that was accepted. A number is never given twice.
"""

import re
from collections.abc import Iterator
from pathlib import Path

from provenance.records.folder import leads_inside

_NUMBER = re.compile(r"\b(?:number|piece)\s*:\s*[\"']?([0-9]+(?:-[0-9]+)*)")
_COMMISSION = re.compile(r"\b(?:number|commission)\s*:?\s*[\"']?([0-9]{4}-C[0-9]+)")
_IN_NAME = re.compile(r"[0-9]+(?:-[0-9]+)*")
_COMMISSION_NAME = re.compile(r"[0-9]{4}-C[0-9]+")
_MOST_BYTES = 20_000_000


def taken_numbers(folder: Path) -> frozenset[str]:
    """Every piece's number that stands anywhere in a record folder."""
    found: set[str] = set()
    for path in _records(folder, "", "commissions"):
        found.update(_NUMBER.findall(_text(path)))
    for path in _records(folder, ""):
        if named := _IN_NAME.match(path.name):
            found.add(named[0])
    found.update(_NUMBER.findall(_text(folder / "studio" / "printed.yaml").replace('"', "")))
    return frozenset(found)


def next_number(folder: Path, year: int) -> str:
    """The next number of a piece: `2026-015`."""
    return f"{year}-{_after(taken_numbers(folder), f'{year}-'):03}"


def next_commission(folder: Path, year: int) -> str:
    """The next number of a commission: `2026-C04`."""
    found: set[str] = set()
    for path in _records(folder, "commissions"):
        found.update(_COMMISSION.findall(_text(path)))
        if named := _COMMISSION_NAME.match(path.name):
            found.add(named[0])
    for path in _records(folder, ""):
        found.update(_COMMISSION.findall(_text(path)))
    return f"{year}-C{_after(frozenset(found), f'{year}-C'):02}"


def free_name(folder: Path, stem: str) -> str:
    """A file name without ending that no record in the folder has: `bath`, `bath-2` ..."""
    there = {path.stem.lower() for path in _records(folder, "")}
    turn, name = 1, stem
    while name.lower() in there:
        turn += 1
        name = f"{stem}-{turn}"
    return name


def _after(taken: frozenset[str], start: str) -> int:
    rest = [number.removeprefix(start) for number in taken if number.startswith(start)]
    return 1 + max((int(each) for each in rest if re.fullmatch("[0-9]{1,9}", each)), default=0)


def _records(folder: Path, *subs: str) -> Iterator[Path]:
    """Files that are, were or may become records: `2026-014.yaml.txt` counts as well."""
    for sub in subs:
        place = folder / sub if sub else folder
        if place.is_dir():
            for path in sorted(place.iterdir()):
                if ".y" in path.name.lower() and path.is_file() and leads_inside(path, folder):
                    yield path


def _text(path: Path) -> str:
    try:
        return path.read_bytes()[:_MOST_BYTES].decode("utf-8", "replace")
    except OSError:
        return ""
