"""The kinds of quantity a record holds.

In: text such as `412 g`, `4 ft 2 in`, `4:30`, `12.50 EUR at 0.86`. Out: exact fractions in one
unit per kind (grams, centimetres, hours, degrees Celsius, share of one, studio currency), each
knowing its place and how it was written.
"""

from __future__ import annotations

import re
from fractions import Fraction

from provenance.problems import Slip
from provenance.records.numbers import (
    DURATIONS,
    LENGTHS,
    NUMBER,
    TIMES,
    WEIGHTS,
    exact,
    factor_of,
    measured,
    not_a,
    not_negative,
    tidy,
)
from provenance.records.numbers import Habits as Habits
from provenance.records.numbers import Quantity as Quantity


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


def _time(text: str, kind: type[Quantity], habits: Habits) -> Fraction:
    clock = re.fullmatch(r"([0-9]{1,6}):([0-9]{2})", text.strip())
    if clock:
        if int(clock[2]) > 59:
            raise Slip(f"'{text}' has more than 59 minutes", "write for example 4:30")
        return Fraction(int(clock[1])) + Fraction(int(clock[2]), 60)
    tidied = tidy(text, habits)
    if re.fullmatch(NUMBER, tidied):
        return exact(tidied)
    units = DURATIONS if kind is Duration else TIMES
    return measured(tidied, units, kind, Habits(currency=habits.currency))


class Hours(Quantity):
    """Working time, in hours: `61`, `4 h 30 min`, `45 min` or `4:30`; a "day" is no measure."""

    unit = "h"
    called = "a time"
    example = "61, 4 h 30 min, 45 min or 4:30"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        if re.search(r"[0-9]\s*(days?|weeks?)\b", text):
            raise Slip(
                f"'{text}': how many hours is that?", "hands-on hours are wanted, such as 12 h"
            )
        return _time(text, cls, habits)


class Duration(Quantity):
    """Time by the clock, in hours: `45 min`, `12 h`, `3 days`."""

    unit = "h"
    called = "a time"
    example = "45 min, 12 h or 3 days"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        return _time(text, cls, habits)


class Celsius(Quantity):
    """A temperature, in degrees Celsius: `88 C` or `190 F`."""

    unit = "C"
    called = "a temperature"
    example = "88 C or 190 F"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        tidied = tidy(text, habits)
        found = re.fullmatch(r"(-?[0-9]+(?:\.[0-9]+)?)\s*[°º]?\s*([CcFf])?", tidied)
        if not found:
            raise not_a(text, cls)
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
        not_negative(tidied, cls)
        found = re.fullmatch(rf"({NUMBER})\s*(%|per ?cent)", tidied)
        if not found:
            if re.fullmatch(NUMBER, tidied):
                raise Slip(f"'{text}' is a share without its sign", f"write '{tidied} %'")
            raise not_a(text, cls)
        return exact(found[1]) / 100


class PartShare(Share):
    """A share of a whole, which can't be more than all of it."""

    called = "a share"
    example = "55 %"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        share = super().read(text, habits)
        if share > 1:
            raise Slip(f"'{text}' is more than the whole", "a share of 100 % at most")
        return share


class YieldShare(PartShare):
    """What is left after a step, which can't be nothing."""

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        share = super().read(text, habits)
        if not share:
            raise Slip(f"'{text}' would leave nothing", "write what is left, such as 55 %")
        return share


_SIGNS = {"£": "GBP", "€": "EUR", "¥": "JPY"}
_AMOUNT = r"[0-9]+(?:\.[0-9]+)?"
_MONEY = re.compile(
    rf"(?P<sign>[£€$¥])?\s*(?P<amount>{_AMOUNT})\s*(?P<after>[£€$¥])?"
    rf"\s*(?P<code>[A-Za-z]{{3}})?(?:\s+at\s+(?P<rate>{_AMOUNT}))?"
)


class Money(Quantity):
    """An amount in the studio's currency; a foreign amount is written with its rate."""

    unit = ""
    called = "an amount of money"
    example = "36.00, or 12.50 EUR at 0.86"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        tidied = tidy(text, habits)
        not_negative(tidied, cls)
        found = _MONEY.fullmatch(tidied)
        if not found:
            raise not_a(text, cls)
        amount, rate = found["amount"], found["rate"]
        sign = found["sign"] or found["after"]
        code = (found["code"] or _currency_of(sign, habits)).upper()
        if rate is None and code != habits.currency:
            raise Slip(
                f"'{text}' is in {code}, the studio counts in {habits.currency}",
                f"write the rate with it: '{amount} {code} at 0.86'",
            )
        if rate is not None and code == habits.currency:
            raise Slip(
                f"'{text}' has a rate, and is in {code} already",
                f"write '{amount}', or the currency it was paid in: '{amount} EUR at {rate}'",
            )
        return Fraction(amount) * Fraction(rate or 1)


def _currency_of(sign: str | None, habits: Habits) -> str:
    """The currency a sign stands for; `$` is the studio's own where that is a kind of dollar."""
    if sign is None:
        return habits.currency
    if sign == "$":
        return habits.currency if habits.currency in _DOLLARS else "USD"
    return _SIGNS[sign]


_DOLLARS = frozenset(
    ("USD", "CAD", "AUD", "NZD", "HKD", "SGD", "TWD", "BSD", "BBD", "BZD", "JMD", "TTD", "XCD")
)


class Rate(Quantity):
    """Money per hour: `4.10 per hour`."""

    unit = "per hour"
    called = "an amount per hour"
    example = "0.45 per hour"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        found = re.fullmatch(r"(.+?)\s*(?:per|an|/)\s*(?:hour|hr|h)", text.strip())
        if not found:
            raise not_a(text, cls)
        return Money.read(found[1], habits)


class PerCentimetre(Quantity):
    """Ends or picks: `6 per cm` or `15 per in`."""

    unit = "per cm"
    called = "a sett"
    example = "6 per cm or 15 per in"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        tidied = tidy(text, habits)
        not_negative(tidied, cls)
        if found := re.fullmatch(rf"({NUMBER})\s*(epi|ppi|wpi)", tidied.lower()):
            return exact(found[1]) / LENGTHS["in"]
        found = re.fullmatch(rf"({NUMBER})\s*(?:per|/)\s*([A-Za-z\"]+)\.?", tidied)
        if not found:
            if re.fullmatch(NUMBER, tidied):
                raise Slip(f"'{text}' is a sett without a unit", f"write '{text} per cm'")
            raise not_a(text, cls)
        return exact(found[1]) / factor_of(found[2], LENGTHS, cls)


class Count(Quantity):
    """A bare number: pieces, dips, plies, lux."""

    called = "a number"
    example = "2"
