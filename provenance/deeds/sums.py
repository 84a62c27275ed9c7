"""Sums and measures as a maker types them at a command, and as they are written into a record.

In: text of a command, a value. Out: exact fractions, or a Slip; text with the decimal sign of the
studio and no more decimals than are needed.
"""

import re
from fractions import Fraction

from provenance.figures.working import half_up, plain
from provenance.problems import Said, Slip, WrongWish
from provenance.records.numbers import LENGTHS, WEIGHTS
from provenance.records.quantities import Money
from provenance.reference.currencies import minor_unit
from provenance.studio import Studio

_MOST_DECIMALS = 3
_UNIT = re.compile(r"([^\d\s.,/½¼¾⅓⅔]+?)\.?\s*$")
_LARGE = {"kg": "g", "m": "cm", "km": "cm"}  # a small part of them is told in the smaller one


def price_of(studio: Studio, text: str) -> Fraction:
    """A price in the studio's currency. Raises WrongWish for what is none, or nothing."""
    try:
        price = Money.read(text, studio.habits)
    except Slip as slip:
        raise WrongWish(slip.what, slip.remedy) from None
    return paid_price(studio, price, text)


def paid_price(studio: Studio, price: Fraction, text: str) -> Fraction:
    """A price that can have been paid in the studio's coins. Raises WrongWish for another."""
    if price <= 0:
        raise WrongWish(Said("deed.for_nothing"), Said("deed.gift"))
    if half_up(price, minor_unit(str(studio.file.currency))) != price:
        raise WrongWish(Said("deed.no_coin", text=text), Said("deed.whole_coins"))
    return price


def money_text(studio: Studio, value: Fraction, *, exact: bool = False) -> str:
    """A sum as a record has it: 480, 38.50; `exact` keeps the noughts."""
    is_whole = value.denominator == 1 and not exact
    return _signed(studio, str(half_up(value, 0 if is_whole else minor_of(studio))))


def minor_of(studio: Studio) -> int:
    """Decimals of the studio's currency."""
    return minor_unit(str(studio.file.currency))


def amount_text(studio: Studio, value: Fraction, unit: str, typed: str) -> str:
    """An amount (grams, centimetres or a count) in the unit it was typed in: 12 g, 1.5 oz."""
    if not unit:
        return _signed(studio, plain(value, _MOST_DECIMALS))
    found = _UNIT.search(typed)
    named = found[1].lower() if found else unit
    named = _LARGE.get(named, named)
    factor = {**WEIGHTS, **LENGTHS}.get(named, Fraction(1))
    return f"{_signed(studio, plain(value / factor, _MOST_DECIMALS))} {named}"


def _signed(studio: Studio, number: str) -> str:
    return number.replace(".", ",") if studio.file.decimal_comma else number
