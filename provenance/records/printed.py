"""studio/printed.yaml: every address and price ever printed, kept by the program, append only.

In: the file. Out: frozen lines in the order they were printed. A number that stands here must
resolve for ever and is never given to another piece.
"""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Annotated, Any

from provenance.problems import Place, Problems, Said
from provenance.records.fields import Day, PieceNumber, Reads, Text
from provenance.records.numbers import Habits
from provenance.records.reading import Record, read_record
from provenance.records.text import Items, Written, quoted, written

MOST_BYTES = 20_000_000  # a studio that prints for forty years


class Printed(Record):
    """One paper printed on one day: which piece, which address, which price, which words."""

    on: Day
    paper: Text
    number: PieceNumber
    title: Text
    address: Text | None = None
    price: Text | None = None
    digest: Annotated[Written, Reads(written)] = Written("")


def read_printed(
    open_file: Callable[[Path, int], Any | None], path: Path, problems: Problems
) -> tuple[Printed, ...]:
    """The lines of printed.yaml; no file means nothing was printed yet."""
    value = open_file(path, MOST_BYTES) if path.is_file() else None
    if value is None or not value:
        return ()
    if not isinstance(value, Items):
        place = getattr(value, "place", Place(path.name, 1, 1))
        problems.add(place, Said("file.printed"), Said("file.kept"))
        return ()
    found = (read_record(Printed, each, Habits(), problems) for each in value)
    return tuple(line for line in found if line is not None)


def printed_line(line: Printed | dict[str, Any]) -> str:
    """One line of printed.yaml as text; every value quoted, so that it reads back as written."""
    fields = line if isinstance(line, dict) else line.model_dump(by_alias=True)
    parts = [
        f"{word}: {_quoted(value)}"
        for word, value in fields.items()
        if value is not None and not word.startswith("\0")
    ]
    return "- {" + ", ".join(parts) + "}\n"


def _quoted(value: Any) -> str:
    return value.isoformat() if isinstance(value, date) else quoted(str(value).replace("\n", " "))
