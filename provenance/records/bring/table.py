"""A table as its spreadsheet shows it, before anybody says what it means.

In: cells, as `press.tables` reads them. Out: frozen rows, counted as the spreadsheet counts them;
empty rows are left out, and keep their number.
"""

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from provenance.problems import Said

Cell = str | Decimal | date  # an empty cell is an empty text


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its number in the spreadsheet, its cells from the left.

    `faults` are cells, by their place from the left, that hold nothing to be read: `error` (the
    spreadsheet shows one), `formula` (without its result).
    """

    number: int
    cells: tuple[Cell, ...]
    faults: Mapping[int, str]

    def at(self, index: int) -> Cell:
        """The cell at a place from the left; empty beyond the last."""
        return self.cells[index] if index < len(self.cells) else ""

    @property
    def filled(self) -> int:
        """How many cells hold something."""
        return sum(cell != "" for cell in self.cells)


@dataclass(frozen=True, slots=True)
class Table:
    """The rows of one sheet, and a sentence on how they were read."""

    file: str
    rows: tuple[Row, ...]
    how: Said


def text_of(cell: Cell) -> str:
    """A cell as text: numbers plainly, days as year-month-day."""
    if isinstance(cell, Decimal):
        plain = format(cell, "f")
        return plain.rstrip("0").rstrip(".") if "." in plain else plain
    return cell.isoformat() if isinstance(cell, date) else cell


def tidy(text: str) -> str:
    """A text as it is kept: accents in one sign, spaces that are spaces, lines that end alike.

    An apostrophe before a sign that spreadsheets take for a sum is theirs, not the maker's.
    """
    text = unicodedata.normalize("NFC", text).replace("_x000D_", "")
    text = text.replace("\r\n", "\n").replace("\r", "\n").replace("\ufeff", "")
    text = re.sub(r"[\u00a0\u2007\u2009\u202f\t]", " ", text).strip()
    return text[1:] if re.match(r"'[=+\-@]", text) else text


def letter(index: int) -> str:
    """How a spreadsheet calls a column: A to Z, AA ..."""
    before, last = divmod(index, 26)
    return (letter(before - 1) if before else "") + chr(ord("A") + last)
