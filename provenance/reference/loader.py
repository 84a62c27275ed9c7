"""Reads one table of the trade from `tables/NAME.toml` or `tables/NAME.csv`.

TOML tables hold one array named `row`; CSV tables have a heading line. A table's own notes
(source keys, licence) stand in the TOML keys beside `row`.
"""

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

_TABLES = Path(__file__).parent / "tables"


@cache
def table(name: str) -> dict[str, Any]:
    """The whole TOML file, with its notes and its `row` array."""
    return tomllib.loads((_TABLES / f"{name}.toml").read_text(encoding="utf-8"))


def rows(name: str) -> list[dict[str, Any]]:
    """The rows of a TOML table."""
    found: list[dict[str, Any]] = table(name)["row"]
    return found


@cache
def csv_rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of a CSV table, as text by heading."""
    import csv

    text = (_TABLES / f"{name}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))
