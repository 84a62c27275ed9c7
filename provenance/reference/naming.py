"""Finds the row of a table that a maker's own words mean.

In: what the maker wrote ("Weld tops, 2025", "ferrous sulfate") and the names a table knows.
Out: the one row meant, or None when nothing or more than one thing fits. Case, plurals,
apostrophes and the spelling of sulphur make no difference. Makers who write German find their
stuffs by the names of `tables/german.toml`.
"""

import re
from collections.abc import Iterable, Mapping
from functools import cache, lru_cache
from typing import TypeVar

from provenance.reference.loader import table

Row = TypeVar("Row")
Words = tuple[str, ...]


@lru_cache(maxsize=4096)
def words(name: str) -> Words:
    """The words of a name, folded so that spellings of one thing agree."""
    plain = name.casefold().replace("'", "").replace("’", "").replace("sulf", "sulph")
    plain = plain.replace("aluminum", "aluminium")
    return tuple(_singular(word) for word in re.findall(r"[^\W\d_]+", plain))


def by_words(named: Iterable[tuple[str, Row]]) -> dict[Words, Row]:
    """Known names by their folded words."""
    return {words(name): row for name, row in named if words(name)}


def in_german(kind: str, name: str) -> tuple[str, ...]:
    """What makers who write German call a row; `kind` is dye, mordant or poison."""
    return tuple(table("german")[kind].get(name, ()))


def in_english(name: str) -> str:
    """Our name of a dye or bath help that its maker calls by a German one; else as it is."""
    return _from_german().get(words(name), name)


@cache
def _from_german() -> dict[Words, str]:
    rows = (row for kind in ("dye", "mordant") for row in table("german")[kind].items())
    return by_words((word, name) for name, called in rows for word in called)


def meant(name: str, known: Mapping[Words, Row]) -> Row | None:
    """The row whose name is `name`, or whose name's words all stand in it, the longest first.

    "copper sulphate, 2024" means copper sulphate; "weld and indigo" means nothing certain.
    """
    asked = words(name)
    if asked in known:
        return known[asked]
    inside = [found for found in known if set(found) <= set(asked)]
    longest = [one for one in inside if not any(set(one) < set(other) for other in inside)]
    rows: list[Row] = []
    for found in longest:
        if known[found] not in rows:
            rows.append(known[found])
    return rows[0] if len(rows) == 1 else None


def _singular(word: str) -> str:
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    return word[:-1] if word.endswith("s") and not word.endswith("ss") and len(word) > 3 else word
