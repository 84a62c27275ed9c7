"""Sums of a book: creep, spine, weight of a copy, what the margins need. Lengths in mm, exact.

In: pages, the trim, how thick and heavy its paper is. Out: Fractions. Rules: creep and spine after
hps-ltd.org.uk; the innermost of n sheets is pushed out by (n - 1) times the paper, and at its fold
the whole block, n times the paper, is kept free; weight = leaves x area x grams; 15 mm inside and
12 mm outside for a stapled A5 are from memory.
"""

from fractions import Fraction

Size = tuple[Fraction, Fraction]
INNER, OUTER = Fraction(15), Fraction(12)
MOST_BLOCK = Fraction(5)  # mm of closed booklet that staples hold; computed from printers' limits


def sheets(pages: int) -> int:
    """How many sheets a stapled book has, four pages each."""
    return -(-pages // 4)


def creep(pages: int, thickness: Fraction) -> Fraction:
    """How far the innermost sheet is pushed out."""
    return max(sheets(pages) - 1, 0) * thickness


def room_for_creep(pages: int, thickness: Fraction) -> Fraction:
    """What margins keep free for it: with the fold of the outermost sheet."""
    return sheets(pages) * thickness


def block(pages: int, thickness: Fraction) -> Fraction:
    """How thick a closed stapled book is."""
    return sheets(pages) * thickness * 2


def spine(pages: int, thickness: Fraction, cover: Fraction = Fraction(0)) -> Fraction:
    """The back of a glued book, with a cover of so many mm at front and back."""
    return Fraction(pages, 2) * thickness + 2 * cover


def margins(pages: int, thickness: Fraction) -> Size:
    """Inner and outer margin of a stapled book, the least that is advised."""
    room = room_for_creep(pages, thickness)
    return INNER + room, OUTER + room


def weight(pages: int, trim: Size, grams: Fraction, cover: Fraction = Fraction(0)) -> Fraction:
    """Grams of a copy; `trim` in mm, paper and cover (two leaves, if any) in g a square metre."""
    area = trim[0] * trim[1] / 1_000_000
    return Fraction(pages, 2) * area * grams + 2 * area * cover
