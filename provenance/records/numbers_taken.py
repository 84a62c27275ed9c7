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


def next_number(folder: Path, year: int) -> str:
    """The next number of a piece: `2026-015`."""
    printed = _text(folder / "studio" / "printed.yaml").replace('"', "")
    taken = _taken(folder, "", _NUMBER, _IN_NAME) | {*_NUMBER.findall(printed)}
    return f"{year}-{_after(taken, f'{year}-'):03}"


def next_commission(folder: Path, year: int) -> str:
    """The next number of a commission: `2026-C04`."""
    taken = _taken(folder, "commissions", _COMMISSION, _COMMISSION_NAME)
    return f"{year}-C{_after(taken, f'{year}-C'):02}"


def free_name(folder: Path, stem: str) -> str:
    """A file name without ending that no record in the folder has: `bath`, `bath-2` ..."""
    there = {path.stem.lower() for path in _records(folder)}
    turn, name = 1, stem
    while name.lower() in there:
        turn += 1
        name = f"{stem}-{turn}"
    return name


def _taken(folder: Path, home: str, number: re.Pattern[str], name: re.Pattern[str]) -> set[str]:
    """Numbers in the text of pieces and commissions, and in the file names of their own folder."""
    found: set[str] = set()
    for sub in ("", "commissions"):
        for path in _records(folder, sub):
            found.update(number.findall(_text(path)))
            if sub == home and (named := name.match(path.name)):
                found.add(named[0])
    return found


def _after(taken: set[str], start: str) -> int:
    rest = [number.removeprefix(start) for number in taken if number.startswith(start)]
    return 1 + max((int(each) for each in rest if re.fullmatch("[0-9]{1,9}", each)), default=0)


def _records(folder: Path, sub: str = "") -> Iterator[Path]:
    """Files that are, were or may become records: `2026-014.yaml.txt` counts as well."""
    place = folder / sub
    for path in sorted(place.iterdir()) if place.is_dir() else ():
        if ".y" in path.name.lower() and path.is_file() and leads_inside(path, folder):
            yield path


def _text(path: Path) -> str:
    try:
        return path.read_bytes()[:_MOST_BYTES].decode("utf-8", "replace")
    except OSError:
        return ""
