"""Numbers and units as they are typed, read exactly.

In: text such as `1 1/2`, `½`, `3 lb 4 oz`, and how the studio writes its numbers. Out: exact
fractions, or a `Slip` that says what to write instead. An inch is 2.54 cm and a pound
453.59237 g, both exact by the international yard and pound agreement of 1959.
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
        self = super().__new__(cls, value.numerator, value.denominator)
        self.place = place
        self.written = written
        return self

    def __reduce__(self) -> tuple[Any, ...]:
        return (type(self), (Fraction(self), self.place, self.written))

    def __copy__(self) -> Self:
        return self

    def __deepcopy__(self, _memo: Any) -> Self:
        return self

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        return number(text, cls, habits)


_LB = Fraction("453.59237")
_IN = Fraction("2.54")
_H = Fraction(1)


def _units(*rows: tuple[str, Fraction | int]) -> Mapping[str, Fraction]:
    return {word: Fraction(factor) for words, factor in rows for word in words.split()}


WEIGHTS = _units(
    ("g gram grams", 1),
    ("kg kgs kilo kilos kilogram kilograms", 1000),
    ("mg", Fraction(1, 1000)),
    ("lb lbs pound pounds", _LB),
    ("oz ounce ounces", _LB / 16),
)
LENGTHS = _units(
    ("cm centimetre centimetres centimeter centimeters", 1),
    ("mm", Fraction(1, 10)),
    ("m metre metres meter meters", 100),
    ("km", 100_000),
    ('in inch inches " ″ ”', _IN),
    ("ft foot feet ' ′ ’", _IN * 12),
    ("yd yds yard yards", _IN * 36),
)
TIMES = _units(
    ("h hr hrs hour hours", _H),
    ("min mins minute minutes", _H / 60),
)
DURATIONS = {**TIMES, **_units(("day days", 24), ("week weeks", 7 * 24))}

NUMBER = r"(?:[0-9]+\s+[0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+\.[0-9]+|[0-9]+|\.[0-9]+)"
_PART = re.compile(rf"\s*({NUMBER})\s*(?:([A-Za-z°%]+|[\"'″”′’])\.?)?\s*")
_PLAIN = re.compile(r"[0-9]{1,12}(?:\.[0-9]{1,2})? ?[A-Za-z%]*")
_FRACTIONS = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8",
              "⅞": " 7/8", "⅓": " 1/3", "⅔": " 2/3"}  # fmt: skip
_SPACES = re.compile(r"[\u00a0\u2007\u2009\u202f]")
_HYPHEN = re.compile(r"([0-9])-([0-9]+/[0-9]+)")
_COMMA = re.compile(r"[0-9],[0-9]|^,[0-9]")
_THOUSANDS = re.compile(r"(?<![0-9])[1-9][0-9]{0,2}(?:[.,' ][0-9]{3})*[.,'][0-9]{3}(?![0-9])")
_TOO_LONG = re.compile(r"[0-9]{13}")


def tidy(text: str, habits: Habits) -> str:
    """One spelling of a number: a point, plain spaces, written fractions."""
    if _PLAIN.fullmatch(text):
        return text
    if _TOO_LONG.search(text):
        raise Slip("a number of more than 12 digits", "no studio weighs or earns so much")
    tidied = _SPACES.sub(" ", text).replace("−", "-").replace("⁄", "/")
    for sign, spelled in _FRACTIONS.items():
        tidied = tidied.replace(sign, spelled)
    tidied = _HYPHEN.sub(r"\1 \2", tidied).strip()
    return _comma_read(tidied) if habits.decimal_comma else _comma_refused(tidied)


def _comma_read(text: str) -> str:
    """A studio with `decimal comma: yes`: 3,5 is 3.5; 1.450 could be either, so it is refused."""
    if "." in text and ("," in text or _THOUSANDS.search(text)):
        bare = text.replace(".", "")
        raise Slip(
            f"'{text}' can be read in two ways",
            f"write '{bare}' without a mark between thousands, or '{text.replace('.', ',')}'"
            if "," not in text
            else f"write '{bare}' without a mark between thousands",
        )
    return text.replace(",", ".")


def _comma_refused(text: str) -> str:
    found = _COMMA.search(text)
    if not found:
        return text
    what = f"'{text}' has a comma in its number"
    if not _THOUSANDS.search(text):
        raise Slip(what, f"write '{text.replace(',', '.')}' with a point")
    bare = text.replace(",", "")
    if "." in text:
        raise Slip(what, f"write '{bare}'")
    raise Slip(what, f"write '{bare}', or with a point if it is a decimal comma")


def exact(text: str) -> Fraction:
    """A bare number: 12, 0.5, 3/8 or 1 1/2."""
    if text.isdecimal():
        return Fraction(int(text))
    whole, _, part = text.strip().rpartition(" ")
    try:
        return Fraction(whole.strip()) + Fraction(part) if whole else Fraction(part)
    except ZeroDivisionError:
        raise Slip(f"'{text}' divides by nothing", "the lower number can't be 0") from None
    except ValueError:
        raise Slip(f"'{text}' is not a number", "write digits, such as 12 or 12.5") from None


def number(text: str, kind: type[Quantity], habits: Habits) -> Fraction:
    """A bare number where no unit is wanted."""
    text = tidy(text, habits)
    not_negative(text, kind)
    found = _PART.fullmatch(text)
    if not found or found[2]:
        raise not_a(text, kind)
    return exact(found[1])


def measured(
    text: str, units: Mapping[str, Fraction], kind: type[Quantity], habits: Habits
) -> Fraction:
    """A sum of numbers with units (`3 lb 4 oz`); every number must carry its unit."""
    text = tidy(text, habits)
    not_negative(text, kind)
    position, sum_so_far = 0, Fraction(0)
    while position < len(text) or position == 0:
        found = _PART.match(text, position)
        if not found:
            raise not_a(text, kind)
        amount, unit = exact(found[1]), found[2]
        if not unit:
            raise Slip(f"'{text}' is {kind.called} without a unit", _example(kind))
        part = amount * factor_of(unit, units, kind)
        sum_so_far = sum_so_far + part if position else part
        position = found.end()
    return sum_so_far


def not_a(text: str, kind: type[Quantity]) -> Slip:
    """The slip for text that is no quantity of this kind at all."""
    if not text:
        return Slip(f"{kind.called} is wanted here", _example(kind))
    return Slip(f"'{text}' is not {kind.called}", _example(kind))


def _example(kind: type[Quantity]) -> str:
    return f"write for example {kind.example}"


def factor_of(unit: str, units: Mapping[str, Fraction], kind: type[Quantity]) -> Fraction:
    """What one of a unit is in the unit kept inside; unknown units get "did you mean"."""
    known = units.get(unit) or units.get(unit.lower())
    if known is not None:
        return known
    near = "g" if unit.lower() in ("gr", "gm", "gms", "grm") else nearest(unit, units)
    remedy = f"did you mean '{near}'? " if near and near in units else ""
    raise Slip(
        f"'{unit}' is not a unit of {kind.called.removeprefix('a ')}", f"{remedy}{_example(kind)}"
    )


def not_negative(text: str, kind: type[Quantity]) -> None:
    """Nothing in a record can be less than nothing, a temperature apart."""
    if text.startswith("-"):
        raise Slip(f"'{text}': {kind.called} can't be negative", f"for example {kind.example}")
