"""The selvedge of a piece: its yarns as stripes, colours as recorded, widths by grams.

In: strands of a piece. Out: stripes with their shares; `press.drawings.selvedge` draws them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.flow.strands import Strand


@dataclass(frozen=True, slots=True)
class Stripe:
    """One stripe: colour, start and end as shares of the whole, and its words."""

    colour: str
    start: Fraction
    end: Fraction
    words: str

    @property
    def share(self) -> Fraction:
        """How much of the edge it takes."""
        return self.end - self.start


def stripes_of(strands: Sequence[Strand], words: Sequence[str]) -> tuple[Stripe, ...]:
    """Stripes in the record's order; an empty piece has none."""
    whole = sum((strand.grams for strand in strands), Fraction(0))
    stripes, at = [], Fraction(0)
    for strand, said in zip(strands, words, strict=True):
        end = at + (strand.grams / whole if whole else Fraction(0))
        stripes.append(Stripe(strand.colour, at, end, said))
        at = end
    return tuple(stripe for stripe in stripes if stripe.share)
