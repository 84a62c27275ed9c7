"""How a tag's words look: which face and size each of them has, and the air between them.

In: nothing. Out: the tables `typesetting` works with, and `Block`, lines in their place.
All sizes are those of a tag of 55 x 90 mm, in points; other tags scale them. The stylesheet of the
sheet has the same families and weights.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from provenance.press.letters.fonts import SANS, SERIF
from provenance.press.letters.measure import POINT, measures_of

Face = tuple[str, int]
Step = tuple[int, int, int]
FACES: Mapping[str, Face] = {
    "number": (SANS, 300),
    "title": (SERIF, 400),
    "kind": (SANS, 400),
    "fact": (SANS, 400),
    "care": (SANS, 400),
    "price": (SANS, 600),
    "maker": (SANS, 400),
}
ROLES = {"number": "number", "title": "title", "kind": "kind", "structure": "kind", "size": "kind",
         "weight": "kind", "edition": "kind", "fibres": "fact", "fleece": "fact", "dyes": "fact",
         "care": "care", "light": "care", "address": "care", "responsible": "care",
         "price": "price", "tax": "maker", "studio": "maker",
         "maker": "maker", "place": "maker", "origin": "maker", "year": "kind"}  # fmt: skip
LEAST = Fraction(6)
BODY = (Fraction("7.25"), Fraction("6.75"), Fraction("6.25"), LEAST)
# Where to begin among the sizes of plain words, of the title, and of number and price.
STEPS = ((0, 0, 0), (1, 0, 0), (2, 0, 0), (2, 2, 1), (3, 3, 1), (3, 4, 2))
# Sizes of a title in points and the lines it may take; the first that holds it is taken.
TITLES = ((Fraction("13.5"), 1), (Fraction("12.5"), 1), (Fraction(12), 2), (Fraction(11), 3),
          (Fraction(10), 3), (Fraction(9), 4), (Fraction(8), 5))  # fmt: skip
NUMBERS = tuple(Fraction(size) for size in (26, 23, 20, 17, 14, 12, 10, 8))
PRICES = tuple(Fraction(size) for size in (21, 19, 17, 15, 13, 11))
BIG_PRICE = Fraction(16)
STUB_SIZES = tuple(Fraction(size) for size in (14, 12, 10, 8, 7))
STUB_PRICE = Fraction(9, 10)
LEADING = Fraction(128, 100)
# From a baseline to the top of the next capitals, in millimetres.
GAPS = {("number", "title"): "3.1", ("title", "kind"): "2.5", ("kind", "fact"): "3.9",
         ("price", "maker"): "2.6", ("fact", "price"): "4", ("care", "price"): "4",
         ("kind", "price"): "4", ("price", "number"): "4.5", ("price", "title"): "4",
         ("title", "fact"): "4"}  # fmt: skip
GAP = "2.25"
RUN_ON = ("kind", "maker")  # these follow themselves as lines of one paragraph


@dataclass(frozen=True, slots=True)
class Block:
    """Lines of one kind; `baseline` is that of the first line, sizes in points."""

    role: str
    lines: tuple[str, ...]
    x: Fraction
    baseline: Fraction
    width: Fraction
    size: Fraction
    is_right: bool = False

    @property
    def leading(self) -> Fraction:
        """From line to line, in millimetres."""
        tight = Fraction(112, 100) if self.role in ("title", "number", "price") else LEADING
        return self.size * POINT * tight

    @property
    def top(self) -> Fraction:
        """Top of the box that puts the first line on its baseline."""
        letters = measures_of(*FACES[self.role])
        size = self.size * POINT
        inside = Fraction(letters.ascent + letters.descent, 1000) * size
        return self.baseline - (self.leading - inside) / 2 - Fraction(letters.ascent, 1000) * size

    @property
    def capital_top(self) -> Fraction:
        """Top of the capitals of the first line."""
        return self.baseline - capital(self.role, self.size)

    @property
    def last_baseline(self) -> Fraction:
        """The baseline of the last line."""
        return self.baseline + self.leading * (len(self.lines) - 1)


@lru_cache(maxsize=1024)
def capital(role: str, size: Fraction) -> Fraction:
    """Height of the capitals in millimetres."""
    return Fraction(measures_of(*FACES[role]).capital, 1000) * size * POINT
