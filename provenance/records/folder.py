"""The record folder on the disk: the only place where the maker's record files are opened.

In: the folder. Out: each record once, as placed values; and problems for files that can't be
opened, lead elsewhere, are not UTF-8 or would be passed over without a word.
"""

import hashlib
import os
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

from provenance.problems import Place, Problems, Said, did_you_mean, nearest
from provenance.records.faults import MOST_BYTES
from provenance.records.kept import Kept
from provenance.records.numbers import Habits
from provenance.records.places import ENDINGS, FOLDERS, OF_RECORDS
from provenance.records.yaml_file import read_text
from provenance.reference.signs import visible

Read = TypeVar("Read")


@dataclass(slots=True)
class Reading:
    """One reading of a record folder: habits of the studio, problems, broken names."""

    folder: Path
    problems: Problems
    habits: Habits = field(default_factory=Habits)
    broken: dict[str, set[str]] = field(default_factory=dict)
    digests: dict[str, str] = field(default_factory=dict)
    kept: Kept | None = None

    def name_of(self, path: Path) -> str:
        """The file as it is named in messages: from the record folder on."""
        inside = path.as_posix().removeprefix(f"{self.folder.as_posix()}/")
        return f"{self.folder.name}/{printable(inside)}"

    def stem_of(self, path: Path) -> str:
        """The file's name without its ending, in letters that can be printed."""
        return printable(path.stem)

    def open(self, path: Path, most: int = MOST_BYTES) -> Any | None:
        """One file as placed values; None, with a problem, for what can't be read."""
        raw = self.bytes_of(path, most)
        return None if raw is None else self.values_in(raw, path)

    def values_in(self, raw: bytes, path: Path) -> Any | None:
        """The bytes of a file as placed values."""
        return read_text(raw, self.name_of(path), self.problems)

    def bytes_of(self, path: Path, most: int = MOST_BYTES) -> bytes | None:
        """The bytes of one file; None, with a problem, for what can't be read."""
        name = self.name_of(path)
        try:
            if path.is_symlink() and not leads_inside(path, self.folder):
                self.problems.add(Place(name), Said("file.leads_out"), Said("file.keep_records"))
            elif not path.is_file():
                self.problems.add(Place(name), Said("file.none"), Said("file.record"))
            elif (size := path.stat().st_size) > most:
                what = Said("file.too_large", size=f"{-(-size // 100_000) / 10:.1f}")  # never 2.0
                self.problems.add(Place(name), what, Said("file.at_most", most=most // 1_000_000))
            else:
                raw = path.read_bytes()
                self.digests[name] = hashlib.sha256(raw).hexdigest()
                return raw
        except OSError as error:
            why = (error.strerror or str(error)).lower()
            self.problems.add(Place(name), Said("file.unopened", why=why), Said("file.may_read"))
        return None

    def yaml_files(self, sub: str) -> Iterator[Path]:
        """The YAML files directly in a sub-folder, by name; a name is read once."""
        folder = self.folder / sub if sub else self.folder
        if not folder.is_dir() or not leads_inside(folder, self.folder):
            return
        seen: dict[str, Path] = {}
        for path in sorted(folder.iterdir()):
            if path.name.startswith("."):
                continue
            if path.suffix.lower() not in ENDINGS:
                self._tell_passed_over(path)
            elif path.stem in seen:
                what = Said("file.same_name", name=seen[path.stem].name)
                self.problems.add(Place(self.name_of(path)), what, Said("file.rename_one"))
            else:
                seen[path.stem] = path
                yield path

    def file_in_studio(self, kind: str) -> Path | None:
        """The file of this name in studio/, where there is one."""
        return next((each for each in self.yaml_files("studio") if each.stem == kind), None)

    def _tell_passed_over(self, path: Path) -> None:
        """`2026-014.yaml.txt` is what some editors make of a record."""
        if any(ending in path.name.lower() for ending in ENDINGS) and path.is_file():
            place = Place(self.name_of(path))
            self.problems.add(place, Said("file.ending"), Said("file.rename"), is_remark=True)

    def tell_stray_files(self, known: Iterable[str]) -> None:
        """Files in studio/ that mean nothing, and records in folders where none are looked for."""
        for path in self.yaml_files("studio"):
            if path.stem not in known:
                near = did_you_mean(path.stem, known)
                self.problems.add(Place(self.name_of(path)), Said("file.stray"), near)
        for folder in sorted(self.folder.iterdir()):
            if folder.name in FOLDERS or folder.name.startswith(".") or not folder.is_dir():
                continue
            if any(path.suffix.lower() in ENDINGS for path in folder.iterdir()):
                similar = nearest(folder.name, OF_RECORDS)
                remedy = Said("problem.near", near=similar) if similar else Said("file.beside")
                place = Place(self.name_of(folder))
                self.problems.add(place, Said("file.folder_unread"), remedy, is_remark=True)

    def key_of(self, kind: type, path: Path) -> str:
        """What is made of the bytes that were read last is known by; '' where nothing is kept."""
        if self.kept is None:
            return ""
        return self.kept.key(kind.__qualname__, self.name_of(path), self.habits)

    def once_read(self, key: str, kind: type[Read], read: Callable[[], Read | None]) -> Read | None:
        """What `read` makes of a file's bytes, or made of the same before."""
        return self.kept.read(key, kind, self.problems, read) if self.kept else read()

    def mark_broken(self, kind: str, name: str) -> None:
        """Remember a name that a record would have given, had it been readable."""
        self.broken.setdefault(kind, set()).add(name)


def printable(name: str) -> str:
    """A file's name in letters that can be printed, whatever the disk has."""
    return visible(os.fsencode(name).decode("utf-8", "replace"), every=True)


def leads_inside(path: Path, folder: Path) -> bool:
    """Whether a path, every link followed, stays in a folder."""
    try:
        return path.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError, ValueError):
        return False
