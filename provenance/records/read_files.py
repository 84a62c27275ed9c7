"""Files of records, each read once: lots under their names, a folder with one record a file.

In: a reading of the record folder. Out: records by name; what can't be read is noted, with the
names it would have given.
"""

from functools import partial
from pathlib import Path
from typing import Any

from provenance.problems import Place, Said, Slip
from provenance.records.fields import read_name
from provenance.records.folder import Reading
from provenance.records.reading import Named, Record, read_record
from provenance.records.text import Fields, Items, Written


def read_lots(reading: Reading, kind: str, model: type[Named]) -> dict[str, Any]:
    """A file of named lots, such as studio/fleece.yaml."""
    if (path := reading.file_in_studio(kind)) is None:
        return {}
    if (raw := reading.bytes_of(path)) is None:
        reading.mark_broken(kind, "*")
        return {}
    return reading.once_read(dict, path, partial(_lots_in, reading, kind, model, path, raw)) or {}


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


def read_each(reading: Reading, sub: str, model: type[Record]) -> dict[str, Any]:
    """A folder of one record per file; by file name without its ending."""
    found: dict[str, Any] = {}
    for path in reading.yaml_files(sub):
        raw, stem = reading.bytes_of(path), reading.stem_of(path)
        if raw is None:
            _remember_broken(reading, sub, stem, None)
            continue
        read = partial(_read_one, reading, sub, model, path, raw)
        if record := reading.once_read(model, path, read):
            found[stem] = record
    return found


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
