"""Does the estimate keep its word? How often the hours taken fell within the range named.

In: finished pieces (`History`), or ranges once quoted with the hours then taken. Out: a `Score`.
Near eight in ten is what a range of 80 % promises; with few pieces the score itself is rough.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.estimate.hours import estimate_of
from provenance.figures.estimate.pool import ENOUGH, History


@dataclass(frozen=True, slots=True)
class Score:
    """How many of the pieces that could be tried lay within their range."""

    inside: int
    tried: int


def score(ranges: Iterable[tuple[Fraction, Fraction, Fraction]]) -> Score:
    """Count the (low, high, taken) of which the hours taken lie from low to high."""
    hits = [low <= taken <= high for low, high, taken in ranges]
    return Score(sum(hits), len(hits))


def leave_one_out(history: Sequence[History]) -> Score:
    """Each finished piece estimated from all the others, where those are three or more."""
    known = [piece for piece in history if piece.area_cm2 > 0 and piece.total > 0]
    ranges = []
    for place, piece in enumerate(known if len(known) > ENOUGH else ()):
        others = [*known[:place], *known[place + 1 :]]
        found = estimate_of(others, piece)
        ranges.append((found.low, found.high, piece.total))
    return score(ranges)
