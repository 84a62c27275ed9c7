"""A table in a workbook (.xlsx): one of its sheets, as the spreadsheet shows it.

In: the path, the sheet that is asked for. Out: rows, and a sentence on which sheet they are of.
Formulas give the result that was kept with them; one without, and what the spreadsheet shows as an
error, is marked. Days are days, whatever form they are shown in; numbers are rounded where the
machine's own last digits begin. Asked for none, the first sheet with more than one row is taken.
"""

import zipfile
from collections.abc import Iterator, Sequence
from datetime import date, datetime, time
from decimal import Decimal
from itertools import islice
from pathlib import Path
from typing import Any

import openpyxl
from openpyxl.utils.exceptions import InvalidFileException

from provenance.press.tables.text_file import MOST_COLUMNS, MOST_ROWS
from provenance.problems import Said, Slip, WrongWish, did_you_mean
from provenance.records.bring.table import Cell, Row, Table

MOST_UNPACKED = 300_000_000  # bytes
_FAR = 5_000  # empty rows after which nothing follows
_ERRORS = ("#REF!", "#N/A", "#VALUE!", "#DIV/0!", "#NAME?", "#NULL!", "#NUM!", "#SPILL!", "#CALC!")


def table_from_workbook(path: Path, sheet: str) -> Table:
    """The table of a sheet. Raises Slip for a workbook that can't be read, WrongWish for a sheet
    that is not there."""
    formulas = _has_formulas(path)
    book = _opened(path, is_shown=True)
    try:
        name = _sheet(book, sheet)
        rows = tuple(_rows(book[name]))
        others = [each.title for each in book.worksheets if each.title != name]
    finally:
        book.close()
    if formulas:
        rows = tuple(_with_formulas(path, name, rows))
    key = "bring.read_sheet" if others else "bring.read_only_sheet"
    return Table(path.name, rows, Said(key, sheet=name, others=", ".join(others)))


def _has_formulas(path: Path) -> bool:
    """Whether any sheet has formulas; Slip for an archive that would unpack without end."""
    try:
        with zipfile.ZipFile(path) as archive:
            inside = archive.infolist()
            if sum(each.file_size for each in inside) > MOST_UNPACKED:
                most = {"rows": str(MOST_ROWS), "columns": str(MOST_COLUMNS)}
                raise Slip(Said("bring.too_large", **most), Said("bring.in_parts"))
            sheets = [each for each in inside if each.filename.startswith("xl/worksheets/sheet")]
            return any(b"<f" in archive.read(each) for each in sheets)
    except (zipfile.BadZipFile, OSError, EOFError) as error:
        raise _unreadable(path) from error


def _opened(path: Path, *, is_shown: bool) -> Any:
    load: Any = openpyxl.load_workbook
    try:
        return load(path, read_only=True, data_only=is_shown, keep_links=False)
    except (InvalidFileException, KeyError, ValueError, OSError, SyntaxError, TypeError) as error:
        raise _unreadable(path) from error


def _unreadable(path: Path) -> Slip:
    return Slip(Said("bring.broken_workbook", file=path.name), Said("bring.save_again"))


def _sheet(book: Any, asked: str) -> str:
    names = [str(each.title) for each in book.worksheets]
    if asked:
        found = [name for name in names if name.casefold() == asked.casefold()]
        if not found:
            raise WrongWish(Said("bring.no_sheet", sheet=asked), did_you_mean(asked, names))
        return found[0]
    full = (name for name in names if sum(1 for _ in _some(book[name])) > 1)
    return next(full, names[0] if names else "")


def _some(sheet: Any) -> Iterator[None]:
    """At most a few of the rows that hold something."""
    yield from (None for _ in islice(_rows(sheet), 2))


def _rows(sheet: Any) -> Iterator[Row]:
    sheet.reset_dimensions()  # some programs write a wrong one, and rows would be lost
    found = last = 0
    for number, values in enumerate(sheet.iter_rows(values_only=True), 1):
        cells, faults = _cells(values)
        if any(cell != "" for cell in cells) or faults:
            found, last = found + 1, number
            if found > MOST_ROWS or len(cells) > MOST_COLUMNS:
                most = {"rows": str(MOST_ROWS), "columns": str(MOST_COLUMNS)}
                raise Slip(Said("bring.too_large", **most), Said("bring.in_parts"))
            yield Row(number, cells, faults)
        elif number - last > _FAR:
            return


def _cells(values: Sequence[Any]) -> tuple[tuple[Cell, ...], dict[int, str]]:
    last = max((at + 1 for at, value in enumerate(values) if value is not None), default=0)
    faults = {at: "error" for at, value in enumerate(values[:last]) if value in _ERRORS}
    return tuple(
        "" if at in faults else _cell(each) for at, each in enumerate(values[:last])
    ), faults


def _cell(value: Any) -> Cell:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return Decimal(f"{value:.12g}")
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, time):
        return value.strftime("%H:%M")
    return value if isinstance(value, date) else str(value) if str(value).strip() else ""


def _with_formulas(path: Path, name: str, rows: Sequence[Row]) -> Iterator[Row]:
    """Formulas without a result are empty where values are asked for: they are marked."""
    book = _opened(path, is_shown=False)
    try:
        sheet = book[name]
        sheet.reset_dimensions()
        shown = {row.number: row for row in rows}
        for number, values in enumerate(sheet.iter_rows(values_only=True), 1):
            lacking = _lacking(shown.get(number), values)
            row = shown.pop(number, None)
            if row or lacking:
                cells, faults = (row.cells, row.faults) if row else ((), {})
                yield Row(number, cells, {**faults, **lacking})
            if not shown:
                return
    finally:
        book.close()


def _lacking(row: Row | None, values: Sequence[Any]) -> dict[int, str]:
    return {
        at: "formula"
        for at, value in enumerate(values)
        if isinstance(value, str) and value.startswith("=") and len(value) > 1
        if row is None or (row.at(at) == "" and at not in row.faults)
    }
