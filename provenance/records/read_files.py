"""Files of records, each read once: lots under their names, a folder with one record a file.

In: a reading of the record folder. Out: records by name; what can't be read is noted, with the
names it would have given.
"""

import marshal
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from provenance.problems import Place, Said, Slip
from provenance.records.fields import read_name
from provenance.records.folder import Reading
from provenance.records.kept import Kept
from provenance.records.reading import Named, Record, read_record
from provenance.records.text import Fields, Items, Written
from provenance.workers import in_halves

MUCH = 100_000  # bytes of records; so many are worth a process
_NONE = marshal.dumps({})


def read_lots(reading: Reading, kind: str, model: type[Named]) -> dict[str, Any]:
    """A file of named lots, such as studio/fleece.yaml."""
    if (path := reading.file_in_studio(kind)) is None:
        return {}
    if (raw := reading.bytes_of(path)) is None:
        reading.mark_broken(kind, "*")
        return {}
    read = partial(_lots_in, reading, kind, model, path, raw)
    return reading.once_read(reading.key_of(dict, path), dict, read) or {}


def _lots_in(
    reading: Reading, kind: str, model: type[Named], path: Path, raw: bytes
) -> dict[str, Any]:
    """The lots of a file by their names; those that can't be read are remembered."""
    value = reading.values_in(raw, path)
    if not isinstance(value, Fields):
        reading.mark_broken(kind, "*")
        if value is not None and not _is_empty(value):
            what = Said("file.lots", file=path.name)
            reading.problems.add(value.place, what, Said("file.lots_such"))
        return {}
    found: dict[str, Any] = {}
    for name in map(Written.of, value):
        if record := _read_lot(reading, model, name, value[name]):
            found[str(name)] = record
        else:
            reading.mark_broken(kind, name)
    return found


def _read_lot(reading: Reading, model: type[Named], name: Written, value: Any) -> Named | None:
    """One lot under its name."""
    try:
        read_name(name)
        if isinstance(value, Written):
            raise Slip(Said("file.empty_lot", name=name), Said("file.lot_such", name=name))
    except Slip as slip:
        reading.problems.add(name.place, slip.what, slip.remedy)
        return None
    return read_record(model, value, reading.habits, reading.problems, name)


@dataclass(frozen=True, slots=True)
class _Opened:
    """A file that holds one record, its bytes, and what its record is kept by."""

    sub: str
    model: type[Record]
    path: Path
    raw: bytes
    key: str

    def read(self, reading: Reading) -> Record | None:
        """Its record, made now or before."""
        read = partial(_read_one, reading, self.sub, self.model, self.path, self.raw)
        return reading.once_read(self.key, self.model, read)


def read_each(reading: Reading, folders: Mapping[str, type[Record]]) -> dict[str, dict[str, Any]]:
    """Folders of one record per file; by file name without its ending."""
    files = [each for sub, model in folders.items() for each in _opened(reading, sub, model)]
    _read_ahead(reading, files)
    found: dict[str, dict[str, Any]] = {sub: {} for sub in folders}
    for each in files:
        if record := each.read(reading):
            found[each.sub][reading.stem_of(each.path)] = record
    return found


def _opened(reading: Reading, sub: str, model: type[Record]) -> Iterator[_Opened]:
    for path in reading.yaml_files(sub):
        raw = reading.bytes_of(path)
        if raw is None:
            _remember_broken(reading, sub, reading.stem_of(path), None)
        else:
            yield _Opened(sub, model, path, raw, reading.key_of(model, path))


def _read_ahead(reading: Reading, files: Sequence[_Opened]) -> None:
    """Where much is new, half of it is read beside us and comes as what was kept."""
    if (kept := reading.kept) is None:
        return
    new = sorted((each for each in files if each.key not in kept.before), key=_size)
    if not is_much(sum(map(_size, new)), len(new), len(files)):
        return
    ready = dict[str, Record | None]()

    def read(file: _Opened) -> None:
        ready[file.key] = file.read(reading)

    made = in_halves(new, read, partial(_kept_of, reading, kept))
    kept.ready, kept.before = ready, {**kept.before, **marshal.loads(made or _NONE)}


def is_much(size: int, new: int, files: int) -> bool:
    """Whether so many bytes in new files are worth a process; some have a remark in every run."""
    return size >= MUCH and new >= max(2, files // 2)


def _size(file: _Opened) -> int:
    return len(file.raw)


def _kept_of(reading: Reading, kept: Kept, files: Iterable[_Opened]) -> bytes:
    """What of some files is worth keeping."""
    read = [each.key for each in files if each.read(reading)]
    return marshal.dumps({key: kept.now[key] for key in read if key in kept.now})


def _read_one(
    reading: Reading, sub: str, model: type[Record], path: Path, raw: bytes
) -> Record | None:
    """The record of one file; what is wrong with it, and what it would have named, is noted."""
    value, stem, record = reading.values_in(raw, path), reading.stem_of(path), None
    name = Written(stem, Place(reading.name_of(path), 1, 1))
    if value == {} or _is_empty(value):
        reading.problems.add(name.place, Said("file.empty"), Said("file.fill"))
    elif isinstance(value, Fields):
        given = name if issubclass(model, Named) else None
        record = read_record(model, value, reading.habits, reading.problems, given)
    elif value is not None:
        reading.problems.add(value.place, Said("file.lines"), Said("file.lines_such"))
    if record is None:
        _remember_broken(reading, sub, stem, value)
    return record


def _is_empty(value: Any) -> bool:
    return isinstance(value, Written) and value.is_empty


def _remember_broken(reading: Reading, sub: str, stem: str, value: Any) -> None:
    """Names a broken file would have given, so that what refers to them isn't called unknown."""
    kind = {"": "pieces", "dyebook": "baths"}.get(sub, sub)
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
