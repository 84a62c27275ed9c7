"""The size of the book: trim, margins, letters, and what a page has room for.

In: the size as the maker writes it (A5, Letter, 148 x 210 mm, 5.5 x 8.5 in). Out: `Trim`, in
millimetres and points; Slip where it is none, or no page that a catalogue could be set on.

Bleed 3 mm is what printers ask for. Letters are 8 points at least.
"""

import math
from dataclasses import dataclass
from fractions import Fraction

from provenance.press.letters.measure import POINT
from provenance.public.paper import bleed_of, page_of

BLEED_MM = 3.0
STRIP_MM = 7.0  # the edge of a work along the fore-edge of its plate
MOST_EMS = 37.0
_LEAST_BASE, _MOST_BASE = 9.0, 12.0


@dataclass(frozen=True, slots=True)
class Trim:
    """A page as it is cut, in millimetres. `base` is the size of its letters in points."""

    width: float
    height: float
    bleed: float = BLEED_MM

    @property
    def base(self) -> float:
        """Nine points on A5, eleven and a half on A4."""
        wanted = 9.0 * math.pow(min(self.width, self.height) / 148, 0.7)
        return round(min(max(wanted, _LEAST_BASE), _MOST_BASE), 2)

    @property
    def inner(self) -> float:
        """Margin at the fold, where a stapled book takes some of it."""
        return round(self.width * 0.115, 1)

    @property
    def outer(self) -> float:
        """Margin at the fore-edge."""
        return round(self.width * 0.1, 1)

    @property
    def top(self) -> float:
        """Margin above, with the running head in it."""
        return round(self.height * 0.095, 1)

    @property
    def bottom(self) -> float:
        """Margin below, with the page's number in it."""
        return round(self.height * 0.09, 1)

    @property
    def measure(self) -> float:
        """How wide the text is."""
        return round(self.width - self.inner - self.outer, 2)

    @property
    def prose(self) -> float:
        """How wide a line of a story is at most, so that it can be read."""
        return round(min(self.measure, MOST_EMS * self.em), 2)

    @property
    def depth(self) -> float:
        """How high the text may be."""
        return round(self.height - self.top - self.bottom, 2)

    @property
    def em(self) -> float:
        """The size of its letters in millimetres."""
        return float(Fraction(str(self.base)) * POINT)


def read_trim(text: str, bleed: Fraction | None = None) -> Trim:
    """The size that was asked for; `bleed` in centimetres, where the printer wants another."""
    width, height = map(float, page_of(text))
    return Trim(width, height, BLEED_MM if bleed is None else float(bleed_of(bleed)))
