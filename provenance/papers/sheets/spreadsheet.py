"""The CSV file beside a list, for whoever wants a spreadsheet.

In: header words and rows of text. Out: UTF-8 with its mark, so that spreadsheets know it; commas
and line ends as in RFC 4180; numbers as decimal strings with a point, without signs or groups.
"""

import csv
import io
import re
from collections.abc import Iterable, Sequence

_SUM_STARTS = ("=", "+", "-", "@", "\t", "\r")
_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")


def csv_file(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """The file; a text that a spreadsheet would take for a sum gets an apostrophe."""
    into = io.StringIO(newline="")
    writer = csv.writer(into)
    writer.writerow(columns)
    for row in rows:
        writer.writerow([_harmless(cell) for cell in row])
    return into.getvalue().encode("utf-8-sig")


def _harmless(cell: str) -> str:
    is_text = cell.startswith(_SUM_STARTS) and not _NUMBER.fullmatch(cell)
    return f"'{cell}" if is_text else cell
