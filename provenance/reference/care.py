"""Sentences about the care of finished pieces, and the bands conservators keep to.

In: `tables/care.toml`. Out: frozen sentences by key, each with its source. Words only: the care
symbols of ISO 3758 are licensed trademarks (ginetex.net) and are never drawn.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from provenance.reference.loader import rows, table
from provenance.reference.sourced import Note, cite


@dataclass(frozen=True, slots=True)
class Sentence:
    """One care sentence; `{dyes}` in it is to be filled, `short` is for a hang-tag."""

    key: str
    words: str
    short: str
    source: str
    sure: str


@cache
def sentences() -> dict[str, Sentence]:
    """Every care sentence by its key."""
    return {
        row["key"]: Sentence(
            row["key"], row["words"], row["short"], cite(row["source"]), row["sure"]
        )
        for row in rows("care")
    }


@cache
def bands() -> tuple[Note, ...]:
    """Climate, pests and ultraviolet, as conservators advise."""
    return tuple(
        Note(f"{row['about']}: {row['text']}", cite(row["source"]), row["sure"])
        for row in table("care")["band"]
    )
