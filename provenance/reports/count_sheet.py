"""A count sheet: every lot, what the records leave of it, an empty column for what is there.

In: the studio and a day. Out: a table for a spreadsheet, one line a lot: `lot`, `class`, `kept`
(where it lies), `reckoned`, `counted`. What is written under `counted` is an amount with its unit
as in a record (418.5 g, 3.2 m, 12), so that it can be read back; a line left empty was not counted.
"""

from datetime import date

from provenance.figures.stock.reminders import SHELVES
from provenance.figures.stock.stock import CLASSES, amount_words, stock_on
from provenance.problems import Said
from provenance.records.book import Book
from provenance.reports.report import Column, Table, rows
from provenance.studio import Studio

_COLUMNS = ("lot", "class", "kept", "reckoned", "counted")


def count_sheet(studio: Studio, on: date) -> Table:
    """The sheet of a day."""
    items = stock_on(studio.book, studio.flow, on).items
    lines = [
        (
            item.key.name, Said(f"stock.{CLASSES[item.group]}"),
            _where_it_lies(studio.book, item.key.name),
            _signed(studio, amount_words(item)), "",
        )
        for item in items
        if item.key.kind in SHELVES
    ]  # fmt: skip
    return Table(tuple(Column(Said(f"stock.count_{word}")) for word in _COLUMNS), rows(*lines))


def _where_it_lies(book: Book, name: str) -> str:
    for shelf in (book.fleece, book.dyestuffs, book.mordants, book.yarns, book.sundries):
        if name in shelf:
            return str(shelf[name].kept or "")
    return ""


def _signed(studio: Studio, said: str) -> str:
    """With the decimal sign that the studio writes."""
    return said.replace(".", ",") if studio.file.decimal_comma else said
