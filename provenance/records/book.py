"""The whole record book of a studio, read once.

In: a folder of records. Out: a frozen `Book` of typed records, and every problem found, each with
its place. Only here are the maker's record files read, so a run works on one consistent reading.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from provenance.problems import Place, Problem, Problems, did_you_mean
from provenance.records import quantities as q
from provenance.records.baths import Bath
from provenance.records.commissions import Commission
from provenance.records.fields import yes_or_no
from provenance.records.lots import Dyestuff, Fleece, Mordant, Outlet, Sundry, Yarn
from provenance.records.pieces import Piece
from provenance.records.printed import Printed, read_printed
from provenance.records.reading import Named, Record, read_record
from provenance.records.studio import Studio
from provenance.records.text import Fields, Items, Written
from provenance.records.yaml_file import read_text

LOT_FILES: Mapping[str, type[Named]] = {
    "fleece": Fleece,
    "dyestuffs": Dyestuff,
    "mordants": Mordant,
    "yarns": Yarn,
    "sundries": Sundry,
    "outlets": Outlet,
}


@dataclass(frozen=True, slots=True)
class Book:
    """Everything a studio has written down.

    `broken` holds the names of records that could not be read, by kind ("yarns", "pieces", ...):
    what refers to them is not called unknown.
    """

    folder: Path
    studio: Studio
    fleece: Mapping[str, Fleece]
    dyestuffs: Mapping[str, Dyestuff]
    mordants: Mapping[str, Mordant]
    yarns: Mapping[str, Yarn]
    sundries: Mapping[str, Sundry]
    outlets: Mapping[str, Outlet]
    baths: Mapping[str, Bath]
    pieces: Mapping[str, Piece]
    commissions: Mapping[str, Commission]
    printed: tuple[Printed, ...]
    files: Mapping[str, str]
    broken: Mapping[str, frozenset[str]]

    def is_broken(self, name: str, *kinds: str) -> bool:
        """Whether a record of this name stands in the book but could not be read."""
        return any(name in self.broken.get(kind, ()) for kind in kinds)


@dataclass(slots=True)
class _Reading:
    folder: Path
    problems: Problems
    habits: q.Habits = field(default_factory=q.Habits)
    files: dict[str, str] = field(default_factory=dict)
    broken: dict[str, set[str]] = field(default_factory=dict)

    def name_of(self, path: Path) -> str:
        return f"{self.folder.name}/{path.relative_to(self.folder).as_posix()}"

    def open(self, path: Path) -> Any | None:
        """One file as placed values; unreadable files are problems."""
        name = self.name_of(path)
        if not path.resolve().is_relative_to(self.folder.resolve()):
            self.problems.add(
                Place(name), "this file leads out of the record folder", "keep records in it"
            )
            return None
        try:
            if path.stat().st_size > 50_000_000:
                self.problems.add(
                    Place(name), "this file is too large for a record", "2 MB at most"
                )
                return None
            raw = path.read_bytes()
        except OSError as error:
            self.problems.add(
                Place(name), f"this file can't be opened ({error.strerror})", "check its rights"
            )
            return None
        self.files[name] = hashlib.sha256(raw).hexdigest()
        return read_text(raw, name, self.problems)

    def yaml_files(self, sub: str) -> Iterator[Path]:
        """The YAML files directly in a sub-folder, by name."""
        folder = self.folder / sub if sub else self.folder
        if folder.is_dir():
            for path in sorted(folder.iterdir()):
                if path.suffix in (".yaml", ".yml") and not path.name.startswith("."):
                    yield path

    def mark_broken(self, kind: str, name: str) -> None:
        self.broken.setdefault(kind, set()).add(name)


def read_book(folder: Path) -> tuple[Book | None, tuple[Problem, ...]]:
    """Read a record folder whole; the book is None only when there is no studio to speak of."""
    problems = Problems()
    reading = _Reading(folder, problems)
    if not folder.is_dir():
        problems.add(
            Place(str(folder)), "there is no such folder", "'provenance start studio' makes one"
        )
        return None, tuple(problems)
    studio = _read_studio(reading)
    _stray_files(reading)
    lots = {kind: _read_lots(reading, kind, model) for kind, model in LOT_FILES.items()}
    baths = _read_each(reading, "dyebook", Bath)
    pieces = _by_number(reading, _read_each(reading, "", Piece), "pieces")
    commissions = _by_number(reading, _read_each(reading, "commissions", Commission), "commissions")
    printed = read_printed(reading.open, reading.folder / "studio" / "printed.yaml", problems)
    book = Book(
        folder=folder,
        studio=studio,
        **lots,
        baths=baths,
        pieces=pieces,
        commissions=commissions,
        printed=printed,
        files=dict(reading.files),
        broken={kind: frozenset(names) for kind, names in reading.broken.items()},
    )
    return book, tuple(problems)


_UNKNOWN_STUDIO = Studio.model_validate({"studio": Written("this studio"), "maker": Written("-")})


def _read_studio(reading: _Reading) -> Studio:
    path = reading.folder / "studio" / "studio.yaml"
    if not path.is_file():
        name = f"{reading.folder.name}/studio/studio.yaml"
        reading.problems.add(
            Place(name), "there is no studio file", "'provenance start studio' writes one"
        )
        return _UNKNOWN_STUDIO
    value = reading.open(path)
    if not isinstance(value, Fields):
        if value is not None:
            place = getattr(value, "place", Place(reading.name_of(path), 1, 1))
            reading.problems.add(place, "the studio file wants 'word: value' lines", "studio: NAME")
        return _UNKNOWN_STUDIO
    reading.habits = _habits(value)
    return read_record(Studio, value, reading.habits, reading.problems) or _UNKNOWN_STUDIO


def _habits(value: Fields) -> q.Habits:
    comma, currency = value.get("decimal comma", ""), value.get("currency", "GBP")
    try:
        uses_comma = yes_or_no(comma) if comma else False
    except ValueError:
        uses_comma = False
    return q.Habits(uses_comma, str(currency) if isinstance(currency, str) else "GBP")


def _stray_files(reading: _Reading) -> None:
    known = {"studio", "printed", *LOT_FILES}
    for path in reading.yaml_files("studio"):
        if path.stem not in known:
            reading.problems.add(
                Place(reading.name_of(path)),
                "this file in studio/ has no meaning here",
                did_you_mean(path.stem, known),
            )


def _read_lots(reading: _Reading, kind: str, model: type[Named]) -> dict[str, Any]:
    """A file of named lots, such as studio/fleece.yaml."""
    path = reading.folder / "studio" / f"{kind}.yaml"
    value = reading.open(path) if path.is_file() else None
    if value is None:
        return {}
    if not isinstance(value, Fields):
        reading.problems.add(value.place, "lots stand as 'name: {...}'", "write one name per lot")
        return {}
    found: dict[str, Any] = {}
    for name, each in value.items():
        word = name if isinstance(name, Written) else Written(name)
        if isinstance(each, Written):
            reading.problems.add(
                word.place, f"nothing is said of '{word}'", f"write '{word}: {{weight: 1 kg, ...}}'"
            )
            record = None
        else:
            record = read_record(model, each, reading.habits, reading.problems, word)
        if record is None:
            reading.mark_broken(kind, word)
        else:
            found[str(word)] = record
    return found


def _read_each(reading: _Reading, sub: str, model: type[Record]) -> dict[str, Any]:
    """A folder of one record per file; by file name without its ending."""
    found: dict[str, Any] = {}
    for path in reading.yaml_files(sub):
        value = reading.open(path)
        name = Written(path.stem, Place(reading.name_of(path), 1, 1))
        record = None
        if isinstance(value, (Fields, Items)):
            given = name if issubclass(model, Named) else None
            record = read_record(model, value, reading.habits, reading.problems, given)
        elif value is not None:
            reading.problems.add(value.place, "a record is 'word: value' lines", "number: 2026-001")
        if record is None:
            _remember_broken(reading, sub, path.stem, value)
        else:
            found[path.stem] = record
    return found


def _remember_broken(reading: _Reading, sub: str, stem: str, value: Any) -> None:
    """Names a broken file would have given, so that what refers to them isn't called unknown."""
    kind = {"": "pieces", "dyebook": "baths", "commissions": "commissions"}[sub]
    reading.mark_broken(kind, stem)
    if not isinstance(value, Fields):
        reading.mark_broken(kind, "*")
        return
    if isinstance(number := value.get("number"), Written):
        reading.mark_broken(kind, str(number))
    dyed = value.get("dyed")
    for entry in dyed if isinstance(dyed, Items) else ():
        if isinstance(entry, Fields) and isinstance(entry.get("becomes"), Written):
            reading.mark_broken("lots", str(entry["becomes"]))


def _by_number(reading: _Reading, records: Mapping[str, Any], kind: str) -> dict[str, Any]:
    """The records by their number; a number given twice is a problem."""
    found: dict[str, Any] = {}
    for stem, record in records.items():
        number = str(record.number)
        if number in found:
            first = found[number].number.place.short
            reading.problems.add(
                record.number.place,
                f"number {number} is given twice",
                f"it stands first in {first}; 'provenance start piece' gives the next free number",
            )
            continue
        if kind == "pieces" and not stem.startswith(number):
            reading.problems.add(
                record.number.place,
                f"the file is called '{stem}', the piece {number}",
                f"start the file's name with the number: {number}-....yaml",
                is_remark=True,
            )
        found[number] = record
    return found
