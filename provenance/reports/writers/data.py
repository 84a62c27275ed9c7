"""Reports as data: JSON for programs, CSV for spreadsheets, words told in the studio's language.

In: data of one report, or a list of those of several, with stable English keys; a table. Out: text
of JSON; bytes of a CSV file, in which the rule for cells that a spreadsheet would take for a sum is
that of all our CSV files.
"""

import json
from typing import Any

from provenance.language.phrases import Phrases
from provenance.papers.sheets.spreadsheet import csv_file
from provenance.problems import Said
from provenance.reference.signs import first_unseen
from provenance.reports.report import Table


def as_json(data: Any, phrases: Phrases) -> str:
    """The text, signs of other alphabets as they are."""

    def told(value: object) -> str:
        if isinstance(value, Said):
            return phrases.tell(value)
        raise TypeError(f"{type(value).__name__} has no place in JSON")

    text = json.dumps(data, ensure_ascii=False, indent=1, default=told)
    return escaped(text)


def escaped(text: str) -> str:
    """JSON in which a sign that nobody sees stands as its escape, as the standard has it."""
    if first_unseen(text) is None:
        return text
    return "".join(json.dumps(each)[1:-1] if first_unseen(each) == 0 else each for each in text)


def as_csv(table: Table, phrases: Phrases) -> bytes:
    """One line a row, under the headings of the columns."""
    heads = [phrases.tell(column.heading) for column in table.columns]
    rows = [[phrases.tell(cell.words) for cell in row.full] for row in table.rows]
    return csv_file(heads, rows, comma=phrases.has_comma)
