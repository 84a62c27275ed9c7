"""A table in a file, whatever kind of file; what is none is named kindly.

In: the path, the sheet that is asked for. Out: a `Table`. A file is known by its first bytes, then
by its name; files of other programs are named, with the way to a file that can be read.
"""

import zipfile
from pathlib import Path

from provenance.press.tables.text_file import table_from_text
from provenance.problems import Said, Slip, WrongWish
from provenance.records.bring.table import Table

MOST_BYTES = 50_000_000
_OLD_OFFICE = b"\xd0\xcf\x11\xe0"
_BY_START = (
    (_OLD_OFFICE, "old_workbook"),
    (b"%PDF", "pdf"),
    (b"{\\rtf", "letter"),
    (b"\x89PNG", "picture"),
    (b"\xff\xd8\xff", "picture"),
    (b"\x1f\x8b", "packed"),
)


def open_table(path: Path, sheet: str = "") -> Table:
    """The table in a file. Raises Slip where there is none that can be read."""
    if path.is_dir():
        is_numbers = path.suffix.lower() == ".numbers"
        raise Slip(Said("bring.numbers" if is_numbers else "bring.folder"), Said("bring.save_as"))
    try:
        if path.stat().st_size > MOST_BYTES:
            size = f"{-(-path.stat().st_size // 1_000_000)}"
            raise Slip(Said("bring.too_many_bytes", size=size), Said("bring.in_parts"))
        raw = path.read_bytes()
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise Slip(Said("bring.unopened", file=path.name, why=why)) from error
    if raw.startswith(b"PK"):
        return _archive(path, sheet)
    if sheet:
        raise WrongWish(Said("bring.sheet_of_text"))
    return _text(path, raw)


def _archive(path: Path, sheet: str) -> Table:
    """Workbooks are archives, and so are files of other programs."""
    try:
        with zipfile.ZipFile(path) as archive:
            names = set(archive.namelist())
            kind = (
                archive.read("mimetype")[:80].decode("ascii", "replace")
                if "mimetype" in names
                else ""
            )
    except (zipfile.BadZipFile, OSError, EOFError) as error:
        raise Slip(
            Said("bring.broken_workbook", file=path.name), Said("bring.save_again")
        ) from error
    if "opendocument" in kind:
        raise Slip(Said("bring.open_document"), Said("bring.save_as"))
    if any(name.startswith("Index/") or name == "Index.zip" for name in names):
        raise Slip(Said("bring.numbers"), Said("bring.save_as"))
    if "xl/workbook.bin" in names:
        raise Slip(Said("bring.old_workbook"), Said("bring.save_as"))
    if not any(name.startswith("xl/workbook") for name in names):
        raise Slip(Said("bring.no_table", file=path.name), Said("bring.save_as"))
    from provenance.press.tables.workbook import table_from_workbook

    return table_from_workbook(path, sheet)


def _text(path: Path, raw: bytes) -> Table:
    for start, kind in _BY_START:
        if raw.startswith(start):
            raise Slip(Said(f"bring.{kind}"), Said("bring.save_as"))
    if (
        raw[:2000]
        .lstrip(b"\xef\xbb\xbf \r\n\t")
        .lower()
        .startswith((b"<html", b"<!doctype", b"<table", b"<?xml"))
    ):
        raise Slip(Said("bring.markup"), Said("bring.save_as"))
    if not raw.strip():
        raise Slip(Said("bring.empty", file=path.name))
    return table_from_text(path.name, raw)
