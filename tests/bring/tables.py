"""Tables of invented makers, written with the standard library and openpyxl as their programs
would."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import openpyxl

WORDS = (
    "Tarn", "Beck", "Fell wall", "Sheepfold", "Rime", "Bield", "Gill", "Scar", "Moss", "Larch",
    "Peat", "Hay time", "Lapwing", "Thaw", "Ghyll head", "Stone pine", "Drove road", "Clough",
)  # fmt: skip
KINDS = ("Wall hanging", "Rug", "Scarf", "Throw", "cushion", "Shawl", "Table runner", "tapestry")


def as_csv(rows: Iterable[Sequence[str]], separator: str = ",", line_end: str = "\r\n") -> str:
    into = io.StringIO(newline="")
    csv.writer(into, delimiter=separator, lineterminator=line_end).writerows(rows)
    return into.getvalue()


def write_workbook(path: Path, sheets: dict[str, Sequence[Sequence[Any]]]) -> Path:
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(list(row))
    book.save(path)
    return path


def messy_rows() -> list[list[str]]:
    """300 pieces as their maker kept them for eleven years, with what is wrong in such tables:
    a title above, an empty row, a year in words, prices with and without signs, a number twice,
    a unit here and there, a row without a title."""
    rows = [["Fernbeck Weaving, all my pieces", "", "", "", "", "", "", "", ""], [],
            ["Inv. No", "Title", "Year", "Type", "Dimensions (cm)", "Materials", "Price",
             "Sold to", "Remarks"]]  # fmt: skip
    for turn in range(300):
        year, number = 2008 + turn // 28, turn % 28 + 1
        rows.append([
            f"{year}-{number:03}",
            f"{WORDS[turn % len(WORDS)]} {'I' * (turn // len(WORDS) % 3 + 1)}".strip(),
            (f"{year}", f"June {year}", f"{turn % 27 + 1:02}/{turn % 12 + 1:02}/{year}")[turn % 3],
            KINDS[turn % len(KINDS)],
            (f"{90 + turn} x {40 + turn}", f"{90 + turn},5x{40 + turn}",
             f"{90 + turn} × {40 + turn} cm", "")[turn % 4],
            "Gotland, linen" if turn % 2 else "",
            (f"£{120 + turn}", f"{120 + turn}.50", f"1,{turn:03}", "")[turn % 4],
            f"Mrs {WORDS[turn % 7]}" if turn % 5 == 0 else "",
            "shown at the Dale show" if turn % 9 == 0 else "",
        ])  # fmt: skip
    rows[10][0] = rows[9][0]  # row 11 has the number of row 10
    rows[20][1] = ""
    rows[30][6] = "ask me"
    rows[40][2] = "a while ago"
    rows[50][4] = "large"
    rows[60][3] = "lampshade"
    return rows
