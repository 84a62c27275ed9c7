"""The CSV file beside a list, for whoever wants a spreadsheet.

In: header words and rows of text. Out: UTF-8 with its mark, so that spreadsheets know it; quotes
and line ends as in RFC 4180; numbers as decimal strings without signs or groups, with a point and
commas between the cells. Where people write 3,5 their spreadsheet takes semicolons between the
cells and a comma in the number, and would make days and texts of the others: there it gets those.
"""

import csv
import io
import re
from collections.abc import Iterable, Sequence

_SUM_STARTS = ("=", "+", "-", "@", "\t", "\r")
_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")


def csv_file(
    columns: Sequence[str], rows: Iterable[Sequence[str]], *, comma: bool = False
) -> bytes:
    """The file, with a decimal `comma` or a point; a text that a spreadsheet would take for a sum
    gets an apostrophe."""
    into = io.StringIO(newline="")
    writer = csv.writer(into, delimiter=";" if comma else ",")
    writer.writerow(columns)
    for row in rows:
        writer.writerow([_cell(cell, comma=comma) for cell in row])
    return into.getvalue().encode("utf-8-sig")


def _cell(cell: str, *, comma: bool) -> str:
    if _NUMBER.fullmatch(cell):
        return cell.replace(".", ",") if comma else cell
    return f"'{cell}" if cell.startswith(_SUM_STARTS) else cell
