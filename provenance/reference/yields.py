"""What is left of a fleece after each step, where the maker has not weighed it.

In: `tables/yields.toml`. Out: class defaults in per cent (fine 50, medium 55, long 65,
primitive 75 scoured; carded 95, spun 97) with words that say they are assumed. Published
yields of a breed explain the class and stand beside it; where they lie wholly outside what its
class gives, their middle is taken.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any

from provenance.problems import Said
from provenance.reference import naming
from provenance.reference.fibres import find_fibre
from provenance.reference.loader import rows, table

UNKNOWN_CLASS = "medium"


@dataclass(frozen=True, slots=True)
class Breed:
    """One breed of sheep: its class of wool, least and most scoured yield in % where printed."""

    name: str
    other_names: tuple[str, ...]
    wool_class: str
    published: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Yields:
    """Per cent left after each step; `words` says what was assumed, and why."""

    scoured: Decimal
    carded: Decimal
    spun: Decimal
    words: Said


@cache
def breeds() -> tuple[Breed, ...]:
    """Every breed of the table, in its order."""
    return tuple(
        Breed(
            row["name"],
            tuple(row.get("other_names", ())),
            row["class"],
            tuple(row.get("published", ())),
        )
        for row in table("yields")["breed"]
    )


def find_breed(name: str) -> Breed | None:
    """The breed a name means: "BFL" and "blue-faced Leicester" are one; None when unknown."""
    return naming.meant(name, _names())


def default_yields(breed: str | None, fibre: str) -> Yields:
    """What to assume where a lot gives no yields; wool of no known breed counts as medium."""
    known = find_fibre(fibre)
    names = {fibre.casefold(), known.name if known else ""}  # silk noil is silk
    for row in table("yields")["fibre"]:
        if names & {*row["fibres"]}:
            return _yields(row, Said("yields.assumed", fleece=Said(f"yields.{row['fibres'][0]}")))
    found = find_breed(breed) if breed else None
    wool_class = found.wool_class if found else UNKNOWN_CLASS
    row = next(row for row in rows("yields") if row["class"] == wool_class)
    fleece = Said(f"yields.{wool_class}")
    if found and found.published and not _holds(found.published, row["scoured"]):
        return _of_breed(row, fleece, found)
    return _yields(row, _why(fleece, breed, found))


def _holds(published: tuple[int, ...], scoured: int) -> bool:
    low, high = published
    return low <= scoured <= high


def _of_breed(row: Mapping[str, Any], fleece: Said, breed: Breed) -> Yields:
    low, high = breed.published
    about = {"breed": breed.name, "low": low, "high": high, "scoured": row["scoured"]}
    middle = Decimal(low + high) / 2
    return _yields({**row, "scoured": middle}, Said("yields.middle", fleece=fleece, **about))


def _why(fleece: Said, breed: str | None, found: Breed | None) -> Said:
    if found is None:
        return Said("yields.no_row" if breed else "yields.no_breed", fleece=fleece, breed=breed)
    if not found.published:
        return Said("yields.of_breed", fleece=fleece, breed=found.name)
    low, high = found.published
    return Said("yields.published", fleece=fleece, breed=found.name, low=low, high=high)


@cache
def _names() -> dict[naming.Words, Breed]:
    return naming.by_words((name, row) for row in breeds() for name in (row.name, *row.other_names))


def _yields(row: Mapping[str, Any], words: Said) -> Yields:
    scoured, carded, spun = (Decimal(row[step]) for step in ("scoured", "carded", "spun"))
    return Yields(scoured, carded, spun, words)
