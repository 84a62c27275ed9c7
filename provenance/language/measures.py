"""Lengths and weights in inches, yards, ounces and pounds.

In: centimetres or grams, exact. Out: ready text: 48 7/8; 1 lb 3.5 oz; 5 yd. Inch and pound are
those of the international yard and pound agreement of 1959.
"""

from fractions import Fraction

from provenance.figures.working import half_up, plain
from provenance.reference.measures import INCH, OUNCE


def inches(length: Fraction) -> str:
    """A length in centimetres as inches to the nearest eighth: 48 7/8."""
    whole, part = divmod(int(half_up(length / INCH * 8, 0)), 8)
    fraction = str(Fraction(part, 8)) if part else ""
    return f"{whole} {fraction}".strip() if whole or not fraction else fraction


def pounds(grams: Fraction, places: int = 1) -> str:
    """A weight in pounds and ounces: 1 lb 3.5 oz, 14 oz."""
    whole, rest = divmod(half_up(grams / OUNCE, places), 16)
    parts = (
        f"{whole} lb" if whole else "",
        f"{plain(rest, places)} oz" if rest or not whole else "",
    )
    return " ".join(filter(None, parts))


def in_ounces(grams: Fraction) -> str:
    """A weight as it is told: 14 oz, of which a little is more than none: 0.018 oz."""
    return small_pounds(grams) if grams < OUNCE / 10 else pounds(grams)


def small_pounds(grams: Fraction) -> str:
    """The same for a dyer's scale: hundredths below a pound, thousandths below 0.1 oz."""
    ounces = grams / OUNCE
    places = 1 if ounces >= 16 else 2 if ounces >= Fraction(1, 10) else 3
    return pounds(grams, places)


def yards(length: Fraction) -> str:
    """A length in centimetres in yards, below one in inches: 537 yd, 1.25 yd, 9.5 in."""
    in_yards = length / (INCH * 36)
    if in_yards < 1:
        return f"{plain(length / INCH, 1)} in"
    return f"{plain(in_yards, 2 if in_yards < 100 else 0)} yd"
