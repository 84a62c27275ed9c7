"""How a tag's words look: which face and size each of them has, and the air between them.

In: nothing. Out: the tables `typesetting` works with, and `Block`, lines in their place.
All sizes are those of a tag of 55 x 90 mm, in points; other tags scale them. The stylesheet of the
sheet has the same families and weights.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from provenance.press.letters.faces import SANS, SERIF
from provenance.press.letters.measure import POINT, upright

Face = tuple[str, int]
FACES: Mapping[str, Face] = {
    "number": (SANS, 400),
    "title": (SERIF, 400),
    "kind": (SANS, 400),
    "fact": (SANS, 400),
    "care": (SANS, 400),
    "price": (SANS, 600),
    "name": (SANS, 600),
    "maker": (SANS, 400),
    "page": (SANS, 400),
}
ROLES = {"number": "number", "title": "title", "kind": "kind", "structure": "kind", "size": "kind",
         "weight": "kind", "edition": "kind", "fibres": "fact", "fleece": "fact", "dyes": "fact",
         "care": "care", "light": "care", "address": "care", "responsible": "care",
         "price": "price", "tax": "maker", "studio": "maker", "maker": "name", "place": "maker",
         "origin": "maker", "year": "kind", "page": "page"}  # fmt: skip
FOOT = ("price", "name", "maker")  # what stands at the foot where nothing else follows
LEAST = Fraction(7)  # smaller is read by few (`SMALL` of a body of 8 to 9)
# Plain words, largest first: beside a code, and where a tag has none.
BODY = tuple(Fraction(size) for size in ("9", "8.5", "8", "7.5", "7"))
BODY_ALONE = (Fraction(11), Fraction("10.5"), Fraction(10), Fraction("9.5"), *BODY)
# Where plain words are this small, title and price step down with them: how far, in turn.
TIGHT = Fraction("7.5")
STEPS_DOWN = ((0, 0), (2, 1), (3, 2))
LAST_STEPS = ((5, 3), (7, 4), (8, 5))  # when nothing more can be left off
# Sizes of a title in points and the lines it may take; the first that holds it is taken.
TITLES = ((Fraction(20), 1), (Fraction(18), 1), (Fraction(17), 2), (Fraction(15), 2),
          (Fraction(13), 3), (Fraction(12), 3), (Fraction(11), 3), (Fraction(10), 3),
          (Fraction(9), 4), (Fraction(8), 5))  # fmt: skip
NUMBERS = tuple(Fraction(size) for size in (11, 10, 9, 8, 7))
PRICES = tuple(Fraction(size) for size in (21, 19, 17, 15, 13, 11))
BIG_PRICE = Fraction(16)
NAME = (Fraction(9), Fraction("8.5"), Fraction(8), Fraction("7.5"), LEAST)
PAGE = (Fraction("7.5"), LEAST)
STUB_SIZES = tuple(Fraction(size) for size in (14, 12, 11, 10, 9, 8, 7))
STUB_PRICE = Fraction(9, 10)
LEADING = Fraction(121, 100)
# From a baseline to the top of the next capitals, in millimetres.
GAPS = {("title", "number"): "2.3", ("number", "title"): "2.8", ("title", "kind"): "2.8",
        ("number", "kind"): "3.2", ("number", "fact"): "3.2", ("kind", "fact"): "2.4",
        ("price", "name"): "2.4", ("price", "maker"): "2.4", ("name", "maker"): "1.7",
        ("maker", "name"): "1.9", ("fact", "price"): "3", ("care", "price"): "3",
        ("kind", "price"): "3", ("price", "number"): "4", ("price", "title"): "4",
        ("title", "fact"): "3"}  # fmt: skip
GAP = "1.8"
WIDEST_GAP = "2.6"  # how much room that is left over may go between two blocks
RUN_ON = ("kind", "maker")  # these follow themselves as lines of one paragraph


@dataclass(frozen=True, slots=True)
class Step:
    """How large the words are tried: plain words in points, and from which of the sizes of title
    and price on."""

    body: Fraction
    title: int
    price: int


@lru_cache(maxsize=64)
def steps(scale: Fraction, *, has_code: bool) -> tuple[Step, ...]:
    """The steps of a tag of this scale, largest first, none twice; `last_steps` come after all."""
    sizes = [max(LEAST, size * scale) for size in (BODY if has_code else BODY_ALONE)]
    tight = max(LEAST, TIGHT * scale)
    large = [Step(size, 0, 0) for size in sizes if size > tight]
    small = [Step(tight, *down) for down in STEPS_DOWN]
    return tuple(dict.fromkeys((*large, *small, *(Step(LEAST, *down) for down in STEPS_DOWN))))


def last_steps() -> tuple[Step, ...]:
    """For words that can't be made fewer."""
    return tuple(Step(LEAST, *down) for down in LAST_STEPS)


def is_large(step: Step, scale: Fraction) -> bool:
    """Whether plain words are as large as they should be, and so is the title."""
    return not step.title and step.body > TIGHT * scale


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
        letters = upright(*FACES[self.role])
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
    return Fraction(upright(*FACES[role]).capital, 1000) * size * POINT
