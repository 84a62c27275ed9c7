"""How thick paper is, by its grams per square metre and whether it is coated.

In: `tables/paper.toml`. Out: `Thickness` in mm, exact, with its source. Between two rows it is
interpolated, outside them in proportion to the nearest; `is_listed` says that neither was needed.
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any

from provenance.reference.loader import rows

COATED, UNCOATED = "coated", "uncoated"
KINDS = (COATED, UNCOATED)


@dataclass(frozen=True, slots=True)
class Thickness:
    """Of one leaf, in mm."""

    mm: Fraction
    is_listed: bool
    source: str
    sure: str


@cache
def thickness(kind: str, grams: Fraction) -> Thickness:
    """The thickness of a kind of paper (one of `KINDS`) at so many grams a square metre."""
    table = sorted((row for row in rows("paper") if row["kind"] == kind), key=_grams)
    below = [row for row in table if _grams(row) <= grams]
    above = [row for row in table if _grams(row) >= grams]
    near = (below[-1:] or above[:1])[0]
    if not below or not above:
        return _told(near, _mm(near) * grams / _grams(near), is_listed=False)
    first, last = below[-1], above[0]
    if first is last:
        return _told(near, _mm(near), is_listed=True)
    part = (grams - _grams(first)) / (_grams(last) - _grams(first))
    return _told(near, _mm(first) + part * (_mm(last) - _mm(first)), is_listed=False)


def _told(row: dict[str, Any], mm: Fraction, *, is_listed: bool) -> Thickness:
    return Thickness(mm, is_listed, row["source"], row["sure"])


def _grams(row: dict[str, Any]) -> Fraction:
    return Fraction(row["grams"])


def _mm(row: dict[str, Any]) -> Fraction:
    return Fraction(row["thickness"])
