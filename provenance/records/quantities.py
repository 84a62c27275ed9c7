"""Numbers with their units, read exactly.

In: text such as `3 lb 4 oz`, `4 ft 2 in`, `4:30`, `12.50 EUR at 0.86`. Out: exact fractions in one
unit per quantity (grams, centimetres, hours, degrees Celsius, share of one, studio currency),
each knowing its place and how it was written. An inch is 2.54 cm and a pound 453.59237 g, both
exact by the international yard and pound agreement of 1959.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, ClassVar, Self

from provenance.problems import NOWHERE, Place, Slip, nearest


@dataclass(frozen=True, slots=True)
class Habits:
    """How this studio writes numbers."""

    decimal_comma: bool = False
    currency: str = "GBP"


class Quantity(Fraction):
    """An exact number with its place; arithmetic gives plain fractions."""

    unit: ClassVar[str] = ""
    called: ClassVar[str] = "a number"
    example: ClassVar[str] = "12"
    place: Place
    written: str

    def __new__(cls, value: Fraction | int, place: Place = NOWHERE, written: str = "") -> Self:
        self = super().__new__(cls, value)
        self.place = place
        self.written = written
        return self

    def __reduce__(self) -> tuple[Any, ...]:
        return (type(self), (Fraction(self), self.place, self.written))

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        return number(text, cls, habits)


_G = Fraction(1)
_LB = Fraction("453.59237")
_CM = Fraction(1)
_IN = Fraction("2.54")

WEIGHTS: Mapping[str, Fraction] = {
    "g": _G, "gram": _G, "grams": _G, "kg": _G * 1000, "mg": _G / 1000,
    "lb": _LB, "lbs": _LB, "oz": _LB / 16,
}  # fmt: skip
LENGTHS: Mapping[str, Fraction] = {
    "cm": _CM, "mm": _CM / 10, "m": _CM * 100, "km": _CM * 100_000,
    "in": _IN, '"': _IN, "inch": _IN, "inches": _IN,
    "ft": _IN * 12, "'": _IN * 12, "foot": _IN * 12, "feet": _IN * 12,
    "yd": _IN * 36, "yds": _IN * 36, "yard": _IN * 36, "yards": _IN * 36,
}  # fmt: skip
TIMES: Mapping[str, Fraction] = {
    "h": Fraction(1), "hr": Fraction(1), "hrs": Fraction(1), "hour": Fraction(1),
    "hours": Fraction(1), "min": Fraction(1, 60), "mins": Fraction(1, 60),
    "minute": Fraction(1, 60), "minutes": Fraction(1, 60),
    "day": Fraction(24), "days": Fraction(24),
}  # fmt: skip

_NUMBER = r"(?:\d+\s+\d+/\d+|\d+/\d+|\d+\.\d+|\d+|\.\d+)"
_PART = re.compile(rf"\s*({_NUMBER})\s*([A-Za-z\"'°%]+)?\s*")
_FRACTIONS = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8",
              "⅞": " 7/8", "⅓": " 1/3", "⅔": " 2/3"}  # fmt: skip
_COMMA = re.compile(r"\d,\d")


def tidy(text: str, habits: Habits) -> str:
    """One spelling of a number: a point, plain spaces, written fractions."""
    text = text.replace("\u00a0", " ").replace("\u202f", " ").replace("−", "-").strip()
    for sign, spelled in _FRACTIONS.items():
        text = text.replace(sign, spelled)
    if habits.decimal_comma and "." not in text:
        return text.replace(",", ".")
    if _COMMA.search(text):
        right = text.replace(",", ".") if len(text.split(",")[-1].split()[0]) != 3 else ""
        raise Slip(
            f"'{text}' has a comma in its number",
            f"write {_quoted(right)} with a point" if right else
            f"write {_quoted(text.replace(',', ''))}, or with a point if it is a decimal comma",
        )  # fmt: skip
    return text


def _quoted(text: str) -> str:
    return f"'{text}'"


def exact(text: str) -> Fraction:
    """A bare number: 12, 0.5, 3/8 or 1 1/2."""
    whole, _, part = text.strip().rpartition(" ")
    try:
        return Fraction(whole.strip() or 0) + Fraction(part)
    except ZeroDivisionError:
        raise Slip(f"'{text}' divides by nothing", "the lower number can't be 0") from None
    except ValueError:
        raise Slip(f"'{text}' is not a number", "write digits, such as 12 or 12.5") from None


def number(text: str, kind: type[Quantity], habits: Habits) -> Fraction:
    """A bare number where no unit is wanted."""
    text = tidy(text, habits)
    _not_negative(text, kind)
    found = _PART.fullmatch(text)
    if not found or found[2]:
        raise Slip(f"'{text}' is not {kind.called}", f"write for example {kind.example}")
    return exact(found[1])


def measured(
    text: str, units: Mapping[str, Fraction], kind: type[Quantity], habits: Habits
) -> Fraction:
    """A sum of numbers with units (`3 lb 4 oz`); every number must carry its unit."""
    text = tidy(text, habits)
    _not_negative(text, kind)
    position, sum_so_far = 0, Fraction(0)
    while position < len(text) or position == 0:
        found = _PART.match(text, position)
        if not found:
            raise Slip(f"'{text}' is not {kind.called}", f"write for example {kind.example}")
        amount, unit = exact(found[1]), found[2]
        if not unit:
            raise Slip(
                f"'{text}' is {kind.called} without a unit", f"write for example {kind.example}"
            )
        sum_so_far += amount * _factor(unit, units, kind)
        position = found.end()
    return sum_so_far


def _factor(unit: str, units: Mapping[str, Fraction], kind: type[Quantity]) -> Fraction:
    known = units.get(unit) or units.get(unit.lower())
    if known is not None:
        return known
    near = nearest(unit, units)
    remedy = f"did you mean '{near}'? " if near else ""
    raise Slip(
        f"'{unit}' is not a unit of {kind.called.removeprefix('a ')}",
        f"{remedy}write for example {kind.example}",
    )


def _not_negative(text: str, kind: type[Quantity]) -> None:
    if text.startswith("-") and text[1:2].strip():
        raise Slip(f"'{text}': {kind.called} can't be negative", f"for example {kind.example}")


class Grams(Quantity):
    """A weight, in grams."""

    unit = "g"
    called = "a weight"
    example = "412 g, 1.2 kg or 3 lb 4 oz"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        return measured(text, WEIGHTS, cls, habits)


class Centimetres(Quantity):
    """A length, in centimetres."""

    unit = "cm"
    called = "a length"
    example = "124 cm, 1.9 m or 48 in"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        return measured(text, LENGTHS, cls, habits)


class Hours(Quantity):
    """Working time, in hours: `61`, `4 h 30 min`, `45 min` or `4:30`."""

    unit = "h"
    called = "a time"
    example = "61, 4 h 30 min, 45 min or 4:30"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        clock = re.fullmatch(r"(\d+):(\d\d)", text.strip())
        if clock:
            if int(clock[2]) > 59:
                raise Slip(f"'{text}' has more than 59 minutes", "write for example 4:30")
            return Fraction(int(clock[1])) + Fraction(int(clock[2]), 60)
        tidied = tidy(text, habits)
        if re.fullmatch(_NUMBER, tidied):
            return exact(tidied)
        return measured(tidied, TIMES, cls, habits)


class Celsius(Quantity):
    """A temperature, in degrees Celsius: `88 C` or `190 F`."""

    unit = "C"
    called = "a temperature"
    example = "88 C or 190 F"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        found = re.fullmatch(r"(-?\d+(?:\.\d+)?)\s*°?\s*([CcFf])?", tidy(text, habits))
        if not found:
            raise Slip(f"'{text}' is not a temperature", f"write for example {cls.example}")
        if not found[2]:
            raise Slip(
                f"'{text}' is a temperature without a unit", f"write for example {cls.example}"
            )
        degrees = Fraction(found[1])
        return degrees if found[2] in "Cc" else (degrees - 32) * Fraction(5, 9)


class Share(Quantity):
    """A share, as a fraction of one: `10 %` is 1/10."""

    unit = ""
    called = "a share"
    example = "10 %"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        tidied = tidy(text, habits)
        _not_negative(tidied, cls)
        found = re.fullmatch(rf"({_NUMBER})\s*(%|per ?cent|percent)", tidied)
        if not found:
            bare = re.fullmatch(_NUMBER, tidied)
            hint = f"write '{tidied} %'" if bare else f"write for example {cls.example}"
            raise Slip(f"'{text}' is not a share", hint)
        return exact(found[1]) / 100


class Money(Quantity):
    """An amount in the studio's currency; a foreign amount is written with its rate."""

    unit = ""
    called = "an amount of money"
    example = "36.00, or 12.50 EUR at 0.86"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        tidied = tidy(text, habits)
        _not_negative(tidied, cls)
        found = _MONEY.fullmatch(tidied)
        if not found:
            raise Slip(f"'{text}' is not an amount of money", f"write for example {cls.example}")
        sign, amount, code, rate = found.groups()
        if code and code != habits.currency and not rate:
            raise Slip(
                f"'{text}' is in {code}, the studio counts in {habits.currency}",
                f"write the rate with it: '{amount} {code} at 0.86'",
            )
        if sign and _SIGNS[sign] != habits.currency and sign != "$":
            raise Slip(
                f"'{text}' is in {_SIGNS[sign]}, the studio counts in {habits.currency}",
                f"write the rate with it: '{amount} {_SIGNS[sign]} at 0.86'",
            )
        return Fraction(amount) * Fraction(rate or 1)


_SIGNS = {"£": "GBP", "€": "EUR", "$": "USD"}
_MONEY = re.compile(r"([£€$])?\s*(\d+(?:\.\d+)?)\s*([A-Z]{3})?(?:\s+at\s+(\d+(?:\.\d+)?))?")


class Rate(Quantity):
    """Money per hour: `4.10 per hour`."""

    unit = "per hour"
    called = "an amount per hour"
    example = "0.45 per hour"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        amount, found, rest = text.partition("per hour")
        if not found or rest.strip():
            raise Slip(f"'{text}' is not an amount per hour", f"write for example {cls.example}")
        return Money.read(amount, habits)


class PerCentimetre(Quantity):
    """Ends or picks: `6 per cm` or `15 per in`."""

    unit = "per cm"
    called = "a sett"
    example = "6 per cm or 15 per in"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        tidied = tidy(text, habits)
        found = re.fullmatch(rf"({_NUMBER})\s*(?:per|/)\s*([A-Za-z\"]+)", tidied)
        if not found:
            raise Slip(f"'{text}' is not a sett", f"write for example {cls.example}")
        return exact(found[1]) / _factor(found[2], LENGTHS, cls)


class Count(Quantity):
    """A bare number: pieces, dips, plies, lux."""

    called = "a number"
    example = "2"
