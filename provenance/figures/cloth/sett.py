"""How close threads can lie: diameters, greatest sett, equal firmness, take-up.

In: a yarn's yards to the pound, a weave's ends and intersections. Out: threads per inch, exactly
but for square roots, which are taken to twenty decimals. Rules: Taylor, Cotton Weaving and
Designing, 6th ed. 1909, pp. 327-343; the factors k for other yarns after Ashenhurst, as given at
faena.medievaltextiles.org/ash.html and groundweave.com (trade pages). The results suggest a
sett; a woven sample decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import isqrt

from provenance.figures.working import Number
from provenance.problems import Slip

DIAMETER_FACTORS = {  # k in D = k x square root of yards to the pound
    "worsted": Fraction("0.9"),
    "cotton": Fraction("0.9"),
    "woollen": Fraction("0.84"),
    "linen": Fraction("0.92"),
    "silk": Fraction("0.92"),
}
TAYLOR_COTTON = Fraction("0.95")  # Taylor pp. 336-337, fine mill-spun cotton
WORKING_SHARE = Fraction(3, 4)  # of the greatest sett; faena.medievaltextiles.org (trade page)


@dataclass(frozen=True, slots=True)
class Weave:
    """A weave's repeat: ends, and how often an end changes sides (plain 2, 2; 2/2 twill 4, 2)."""

    ends: int
    intersections: int

    def __post_init__(self) -> None:
        if self.ends < 1 or self.intersections < 1:
            raise Slip("a weave has at least one end and one intersection", "2 and 2 for plain")

    @property
    def cover(self) -> Fraction:
        """Ends as a share of all the places in the repeat: 1/2 for plain, 2/3 for 2/2 twill."""
        return Fraction(self.ends, self.ends + self.intersections)


PLAIN = Weave(2, 2)


def diameters(yards_per_pound: Number, factor: Fraction) -> Fraction:
    """How many threads lie side by side in an inch; divide by 2.54 for a centimetre."""
    return factor * root(Fraction(yards_per_pound))


def greatest_sett(diameters_per_length: Number, weave: Weave) -> Fraction:
    """Threads per length when warp and weft just fill the cloth (Taylor pp. 337-338)."""
    return Fraction(diameters_per_length) * weave.cover


def working_sett(diameters_per_length: Number, weave: Weave) -> Fraction:
    """A sett for cloth that drapes: three quarters of the greatest."""
    return greatest_sett(diameters_per_length, weave) * WORKING_SHARE


def sett_for_count(sett: Number, old: Number, new: Number) -> Fraction:
    """The sett of equal firmness with another yarn: as the roots of the counts (Taylor p. 341)."""
    return Fraction(sett) * root(Fraction(new) / Fraction(old))


def count_for_sett(count: Number, old: Number, new: Number) -> Fraction:
    """The count of equal firmness at another sett: as the squares of the setts."""
    return Fraction(count) * (Fraction(new) / Fraction(old)) ** 2


def sett_for_weave(sett: Number, old: Weave, new: Weave) -> Fraction:
    """The sett of equal firmness in another weave (Taylor p. 338)."""
    return Fraction(sett) * new.cover / old.cover


def count_for_weave(count: Number, old: Weave, new: Weave) -> Fraction:
    """The count of equal firmness in another weave at the same sett (Taylor pp. 338-340)."""
    return Fraction(count) * (old.cover / new.cover) ** 2


def for_weight(count: Number, sett: Number, old: Number, new: Number) -> tuple[Fraction, Fraction]:
    """Count and sett of a heavier or lighter cloth of the same firmness (Taylor p. 343)."""
    ratio = Fraction(old) / Fraction(new)
    return Fraction(count) * ratio**2, Fraction(sett) * ratio


def rough_take_up(intersections_per_inch: Number, weft_count: Number, heaviness: int) -> Fraction:
    """Take-up of a cotton warp as a share (Taylor p. 327); heaviness 3 medium, 4 heavy, 5 some."""
    return Fraction(intersections_per_inch) * heaviness / Fraction(weft_count) / 100


def root(value: Fraction) -> Fraction:
    """The square root: exact where it is a fraction, else to twenty decimals, rounded down."""
    top, bottom = isqrt(value.numerator), isqrt(value.denominator)
    if Fraction(top * top, bottom * bottom) == value:
        return Fraction(top, bottom)
    return Fraction(isqrt(value.numerator * 10**40 // value.denominator), 10**20)
