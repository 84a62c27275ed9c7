"""A table as a file for spreadsheets.

In: a table. Out: bytes of a CSV file, headed in the studio's language; the rule for cells that a
spreadsheet would take for a sum is that of all our CSV files.
"""

from provenance.language.phrases import Phrases
from provenance.papers.sheets.spreadsheet import csv_file
from provenance.reports.report import Table


def as_csv(table: Table, phrases: Phrases) -> bytes:
    """One line a row, under the headings of the columns."""
    heads = [phrases.tell(column.heading) for column in table.columns]
    return csv_file(heads, [[phrases.tell(c.words) for c in row.full] for row in table.rows])
