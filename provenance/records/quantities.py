"""The kinds of quantity a record holds.

In: text such as `412 g`, `4 ft 2 in`, `4:30`, `12.50 EUR at 0.86`. Out: exact fractions in one
unit per kind (grams, centimetres, hours, degrees Celsius, share of one, studio currency), each
knowing its place and how it was written. A record's field is typed with its kind.
"""

import re
from fractions import Fraction
from typing import ClassVar

from provenance.problems import Said, Slip
from provenance.records.numbers import DURATIONS, LENGTHS, NUMBER, PART, TIMES, WEIGHTS, exact, tidy
from provenance.records.numbers import Habits as Habits
from provenance.records.numbers import Quantity as Quantity


class Grams(Quantity):
    """A weight, in grams."""

    kind, unit, units = "weight", "g", WEIGHTS


class Centimetres(Quantity):
    """A length, in centimetres."""

    kind, unit, units = "length", "cm", LENGTHS


class Duration(Quantity):
    """Time by the clock, in hours: `45 min`, `12 h`, `3 days`."""

    kind, unit, units = "duration", "h", DURATIONS

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        clock = re.fullmatch(r"([0-9]{1,6}):([0-9]{2})", text.strip())
        if clock:
            if int(clock[2]) > 59:
                raise Slip(Said("amount.minutes", text=text), Said("amount.write_clock"))
            return Fraction(int(clock[1])) + Fraction(int(clock[2]), 60)
        tidied = tidy(text, habits)
        if re.fullmatch(NUMBER, tidied):
            return exact(tidied)
        return super().read(tidied, Habits())


class Hours(Duration):
    """Working time, in hours: `61`, `4 h 30 min`, `45 min` or `4:30`; a "day" is no measure."""

    kind, units = "time", TIMES

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        if re.search(r"[0-9]\s*(days?|weeks?)\b", text):
            raise Slip(Said("amount.how_many_hours", text=text), Said("amount.hands_on"))
        return super().read(text, habits)


class Celsius(Quantity):
    """A temperature, in degrees Celsius: `88 C` or `190 F`."""

    kind, unit = "temperature", "C"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        degrees = r"(-?[0-9]+(?:\.[0-9]+)?)\s*[°º]?\s*([CcFf])?"
        found = cls.matched(degrees, tidy(text, habits), text)
        if not found[2]:
            cls.refuse(text, "no_unit")
        written = Fraction(found[1])
        return written if found[2] in "Cc" else (written - 32) * Fraction(5, 9)


class Share(Quantity):
    """A share, as a fraction of one: `10 %` is 1/10."""

    kind = "share"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        tidied = cls.tidied(text, habits)
        found = cls.matched(rf"({NUMBER})\s*(%|per ?cent)?", tidied, text)
        share = exact(found[1])
        if not found[2]:
            remedy = Said("value.write", text=f"{tidied} %")
            if 0 < share < 1:
                remedy = Said("amount.of_one", text=tidied, percent=share * 100)
            raise Slip(Said("amount.no_sign", text=text), remedy)
        return share / 100


class PartShare(Share):
    """A share of a whole, which can't be more than all of it."""

    kind = "part"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        share = super().read(text, habits)
        if share > 1:
            raise Slip(Said("amount.more_than_whole", text=text), Said("amount.whole_at_most"))
        return share


class YieldShare(PartShare):
    """What is left after a step, which can't be nothing."""

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        share = super().read(text, habits)
        if not share:
            raise Slip(Said("amount.leaves_nothing", text=text), Said("amount.what_is_left"))
        return share


_SIGNS = {"£": "GBP", "€": "EUR", "¥": "JPY"}
_DOLLARS = frozenset(
    ("USD", "CAD", "AUD", "NZD", "HKD", "SGD", "TWD", "BSD", "BBD", "BZD", "JMD", "TTD", "XCD")
)
_AMOUNT = r"[0-9]+(?:\.[0-9]+)?"
_MONEY = (
    rf"(?P<sign>[£€$¥])?\s*(?P<amount>{_AMOUNT})\s*(?P<after>[£€$¥])?"
    rf"\s*(?P<code>[A-Za-z]{{3}})?(?:\s+at\s+(?P<rate>{_AMOUNT}))?"
)


class Money(Quantity):
    """An amount in the studio's currency; a foreign amount is written with its rate."""

    kind = "money"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        found = cls.matched(_MONEY, cls.tidied(text, habits), text)
        amount, rate = found["amount"], found["rate"]
        code = found["code"] or _currency_of(found["sign"] or found["after"], habits)
        told = {"text": text, "amount": amount, "rate": rate, "code": code.upper()}
        is_foreign = code.upper() != habits.currency
        if rate is None and is_foreign:
            raise Slip(
                Said("amount.foreign", **told, own=habits.currency), Said("amount.add_rate", **told)
            )
        if rate is not None and not is_foreign:
            raise Slip(Said("amount.own_rate", **told), Said("amount.no_rate", **told))
        return Fraction(amount) * Fraction(rate or 1)


def _currency_of(sign: str | None, habits: Habits) -> str:
    """The currency a sign stands for; `$` is the studio's own where that is a kind of dollar."""
    if sign is None or (sign == "$" and habits.currency in _DOLLARS):
        return habits.currency
    return _SIGNS.get(sign, "USD")


class Rate(Quantity):
    """Money per hour: `4.10 per hour`."""

    kind, unit = "rate", "per hour"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        found = cls.matched(r"(.+?)\s*(?:per|an|/)\s*(?:hour|hr|h)", text.strip(), text)
        return Money.read(found[1], habits)


class PerCentimetre(Quantity):
    """Ends or picks, `6 per cm` or `15 per in`: of the finished cloth unless `on the loom`."""

    kind, unit, units = "sett", "per cm", LENGTHS
    on_loom: ClassVar[str] = r"\s+(?:on|in)\s+the\s+(?:loom|reed)$"

    @property
    def is_on_loom(self) -> bool:
        """Whether it was counted before the cloth came off the loom, and drew in."""
        return bool(re.search(self.on_loom, self.written.strip().lower()))

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        tidied = re.sub(cls.on_loom, "", cls.tidied(text, habits), flags=re.IGNORECASE)
        if found := re.fullmatch(rf"({NUMBER})\s*(epi|ppi|wpi)", tidied.lower()):
            return exact(found[1]) / LENGTHS["in"]
        if re.fullmatch(NUMBER, tidied):
            raise Slip(cls.said("no_unit", text=text), Said("value.write", text=f"{text} per cm"))
        found = cls.matched(rf"({NUMBER})\s*(?:per|/)\s*([A-Za-z\"]+)\.?", tidied, text)
        return exact(found[1]) / cls.factor_of(found[2])


class AboveEdge(Centimetres):
    """Where a hook sits, in centimetres above the top edge: `4 cm above`; below is less than 0."""

    kind = "hook"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        pattern = r"(.*\S)\s+(above|below)(?:\s+(?:the\s+)?(?:top\s+)?edge)?"
        found = cls.matched(pattern, cls.tidied(text, habits).lower(), text)
        height = Centimetres.read(found[1], Habits())
        return height if found[2] == "above" else -height


class Count(Quantity):
    """A bare number: pieces, dips, plies, lux."""

    kind = "count"

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        tidied = cls.tidied(text, habits)
        found = PART.fullmatch(tidied)
        if not found or found[2]:
            cls.refuse(tidied)
        return exact(found[1])
