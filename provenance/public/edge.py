"""The selvedge of a piece: its yarns as stripes, colours as recorded, as woven or by grams.

In: colours with their amounts. Out: stripes with their shares; `press.drawings.selvedge` draws
them.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate, pairwise


@dataclass(frozen=True, slots=True)
class Stripe:
    """One stripe: colour, start and end as shares of the whole."""

    colour: str
    start: Fraction
    end: Fraction

    @property
    def share(self) -> Fraction:
        """How much of the edge it takes."""
        return self.end - self.start


def stripes_of(parts: Iterable[tuple[str, Fraction]]) -> tuple[Stripe, ...]:
    """A stripe for each colour that has an amount, in the order given."""
    shown = [(colour, amount) for colour, amount in parts if amount]
    whole = sum((amount for _, amount in shown), Fraction(0))
    ends = accumulate((amount / whole for _, amount in shown), initial=Fraction(0))
    spans = zip(shown, pairwise(ends), strict=True)
    return tuple(Stripe(colour, *span) for (colour, _), span in spans)
