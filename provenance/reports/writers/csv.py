"""A table as a file for spreadsheets.

In: a table. Out: bytes of a CSV file, headed in the studio's language; the rule for cells that a
spreadsheet would take for a sum is that of all our CSV files.
"""

from __future__ import annotations

from provenance.language.phrases import Phrases
from provenance.papers.sheets.spreadsheet import csv_file
from provenance.problems import Words
from provenance.reports.report import Cell, Table


def as_csv(table: Table, phrases: Phrases) -> bytes:
    """One line a row, under the headings of the columns."""

    def told(cell: Words | Cell) -> str:
        return phrases.tell(cell.words if isinstance(cell, Cell) else cell)

    heads = [phrases.tell(column.heading) for column in table.columns]
    return csv_file(heads, [[told(cell) for cell in row.cells] for row in table.rows])
