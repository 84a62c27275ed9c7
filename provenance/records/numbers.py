"""Numbers and units as they are typed, read exactly.

In: text such as `1 1/2`, `½`, `3 lb 4 oz`, and how the studio writes its numbers. Out: exact
fractions, or a `Slip` that says what to write instead; `Quantity`, which each kind of quantity is
made from. An inch is 2.54 cm and a pound 453.59237 g, both exact by the international yard and
pound agreement of 1959.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, ClassVar, NoReturn, Self

from pydantic import ValidationInfo
from pydantic_core import CoreSchema, core_schema

from provenance.problems import NOWHERE, Place, Said, Slip, nearest
from provenance.records.text import written
from provenance.reference.measures import INCH, OUNCE, POUND


@dataclass(frozen=True, slots=True)
class Habits:
    """How this studio writes numbers."""

    decimal_comma: bool = False
    currency: str = "GBP"

    def typed(self, number: str) -> str:
        """A ready number as this maker types it: 2520.00, or 2520,00."""
        return number.replace(".", ",") if self.decimal_comma else number


def habits_of(info: ValidationInfo) -> Habits:
    """The habits a record is read with."""
    return info.context or Habits()


def _units(*rows: tuple[str, Fraction | int]) -> Mapping[str, Fraction]:
    return {word: Fraction(factor) for words, factor in rows for word in words.split()}


WEIGHTS = _units(
    ("g gram grams", 1),
    ("kg kgs kilo kilos kilogram kilograms", 1000),
    ("mg", Fraction(1, 1000)),
    ("lb lbs pound pounds", POUND),
    ("oz ounce ounces", OUNCE),
)
LENGTHS = _units(
    ("cm centimetre centimetres centimeter centimeters", 1),
    ("mm", Fraction(1, 10)),
    ("m metre metres meter meters", 100),
    ("km", 100_000),
    ('in inch inches " ″ ”', INCH),
    ("ft foot feet ' ′ ’", INCH * 12),
    ("yd yds yard yards", INCH * 36),
)
_CUSTOMARY = re.compile(
    r"(?i)(?<![a-z])(?:lbs?|pounds?|oz|ounces?|in|inch(?:es)?|f(?:t|oot|eet)|yds?|yards?)\b"
)
_HOURS = (("h hr hrs hour hours", 1), ("min mins minute minutes", Fraction(1, 60)))
TIMES = _units(*_HOURS)
DURATIONS = _units(*_HOURS, ("day days", 24), ("week weeks", 7 * 24))

NUMBER = r"(?:[0-9]+\s+[0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+\.[0-9]+|[0-9]+|\.[0-9]+)"
PART = re.compile(rf"\s*({NUMBER})\s*(?:([A-Za-z°%]+|[\"'″”′’])\.?)?\s*")
_PLAIN = re.compile(r"[0-9]{1,12}(?:\.[0-9]{1,2})? ?[A-Za-z%]*")
_FRACTIONS = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8",
              "⅞": " 7/8", "⅓": " 1/3", "⅔": " 2/3"}  # fmt: skip
_SPACES = re.compile(r"[\u00a0\u2007\u2009\u202f]")
_HYPHEN = re.compile(r"([0-9])-([0-9]+/[0-9]+)")
_COMMA = re.compile(r"[0-9],[0-9]|^,[0-9]")
_THOUSANDS = re.compile(r"(?<![0-9])[1-9][0-9]{0,2}(?:[.,' ][0-9]{3})*[.,'][0-9]{3}(?![0-9])")
_GRAMS = ("gr", "gm", "gms", "grm")
_TOO_LONG = re.compile(r"[0-9]{13}")


def tidy(text: str, habits: Habits) -> str:
    """One spelling of a number: a point, plain spaces, written fractions."""
    if _PLAIN.fullmatch(text):
        return text
    if _TOO_LONG.search(text):
        raise Slip(Said("amount.too_long"), Said("amount.no_studio"))
    tidied = _SPACES.sub(" ", text).replace("−", "-").replace("⁄", "/")
    for sign, spelled in _FRACTIONS.items():
        tidied = tidied.replace(sign, spelled)
    tidied = _HYPHEN.sub(r"\1 \2", tidied).strip()
    return _comma_read(tidied) if habits.decimal_comma else _comma_refused(tidied)


def _comma_read(text: str) -> str:
    """A studio with `decimal comma: yes`: 3,5 is 3.5; 1.450 could be either, so it is refused."""
    if "." in text and ("," in text or _THOUSANDS.search(text)):
        bare, comma = text.replace(".", ""), text.replace(".", ",")
        remedy = "amount.bare" if "," in text else "amount.bare_or_comma"
        raise Slip(Said("amount.two_ways", text=text), Said(remedy, bare=bare, comma=comma))
    return text.replace(",", ".")


def _comma_refused(text: str) -> str:
    if not _COMMA.search(text):
        return text
    remedy = Said("amount.with_point", text=text.replace(",", "."))
    if _THOUSANDS.search(text):
        remedy = Said(
            "value.write" if "." in text else "amount.bare_or_point", text=text.replace(",", "")
        )
    raise Slip(Said("amount.comma", text=text), remedy)


def exact(text: str) -> Fraction:
    """A bare number: 12, 0.5, 3/8 or 1 1/2."""
    if text.isdecimal():
        return Fraction(int(text))
    whole, _, part = text.strip().rpartition(" ")
    try:
        return Fraction(whole.strip()) + Fraction(part) if whole else Fraction(part)
    except ZeroDivisionError:
        raise Slip(Said("amount.by_nothing", text=text), Said("amount.not_0")) from None
    except ValueError:
        raise Slip(Said("amount.no_number", text=text), Said("amount.digits")) from None


def is_customary(text: str) -> bool:
    """Whether an amount is written in pounds, ounces, yards, feet or inches."""
    return bool(_CUSTOMARY.search(text))


class Quantity(Fraction):
    """An exact number with its place; arithmetic gives plain fractions.

    `kind` is what it is called under [amount] in `language/`; `units` are those it is typed in.
    """

    kind: ClassVar[str]
    unit: ClassVar[str] = ""
    units: ClassVar[Mapping[str, Fraction]] = {}
    place: Place
    written: str

    def __new__(cls, value: Fraction | int, place: Place = NOWHERE, written: str = "") -> Self:
        self = super().__new__(cls, value.numerator, value.denominator)
        self.place = place
        self.written = written
        return self

    def __reduce__(self) -> tuple[Any, ...]:
        whole = (type(self), self.numerator, self.denominator, self.place, self.written)
        return quantity_again, whole

    def __copy__(self) -> Self:
        return self

    def __deepcopy__(self, _memo: Any) -> Self:
        return self

    @property
    def is_customary(self) -> bool:
        """Whether it was written in pounds, ounces, yards, feet or inches."""
        return is_customary(self.written)

    @classmethod
    def of(cls, value: Any, habits: Habits) -> Self:
        """A value of a record as a quantity of this kind."""
        if isinstance(value, cls):
            return value
        text = written(value)
        try:
            return cls(cls.read(text, habits), text.place, str(text))
        except Slip as slip:
            raise slip.at(text.place) from None

    @classmethod
    def __get_pydantic_core_schema__(cls, _source: Any, _handler: Any) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(
            lambda value, info: cls.of(value, habits_of(info))
        )

    @classmethod
    def __get_pydantic_json_schema__(cls, _schema: Any, _handler: Any) -> dict[str, Any]:
        return {"type": ["string", "number"], "description": cls.kind}

    @classmethod
    def read(cls, text: str, habits: Habits) -> Fraction:
        """A sum of numbers, each with its unit (`3 lb 4 oz`), in the unit of this kind."""
        text = cls.tidied(text, habits)
        position, sum_so_far = 0, Fraction(0)
        while position < len(text) or position == 0:
            found = PART.match(text, position)
            if not found:
                cls.refuse(text)
            amount, unit = exact(found[1]), found[2]
            if not unit:
                cls.refuse(text, "no_unit")
            sum_so_far += amount * cls.factor_of(unit)
            position = found.end()
        return sum_so_far

    @classmethod
    def tidied(cls, text: str, habits: Habits) -> str:
        """A text tidied; nothing in a record can be less than nothing, a temperature apart."""
        text = tidy(text, habits)
        if text.startswith("-"):
            raise Slip(cls.said("negative", text=text), cls.such("such"))
        return text

    @classmethod
    def factor_of(cls, unit: str) -> Fraction:
        """What one of a unit is in the unit kept inside; unknown units get "did you mean"."""
        known = cls.units.get(unit) or cls.units.get(unit.lower())
        if known is not None:
            return known
        near = "g" if unit.lower() in _GRAMS else nearest(unit, cls.units)
        remedy = cls.such("write")
        if near in cls.units:
            remedy = Said("amount.near", near=near, write=remedy)
        raise Slip(Said(f"amount.{cls.kind}_unit", unit=unit), remedy)

    @classmethod
    def matched(cls, pattern: str, tidied: str, text: str) -> re.Match[str]:
        """A text taken apart; refused where it is no quantity of this kind."""
        return re.fullmatch(pattern, tidied) or cls.refuse(text)

    @classmethod
    def refuse(cls, text: str, why: str = "not_a") -> NoReturn:
        """A text that is no quantity of this kind: `not_a` at all, or `no_unit`."""
        raise Slip(cls.said(why if text else "wanted", text=text), cls.such("write"))

    @classmethod
    def said(cls, key: str, **values: Any) -> Said:
        """What is wrong with a quantity of this kind."""
        return Said(f"amount.{key}", **values, kind=Said(f"amount.{cls.kind}"))

    @classmethod
    def such(cls, key: str) -> Said:
        """An example of this kind: `write` it so, or `such` as this."""
        return Said(f"amount.{key}", example=Said(f"amount.{cls.kind}_such"))


def quantity_again(
    kind: type[Quantity], numerator: int, denominator: int, place: Place, written: str
) -> Quantity:
    """A quantity from its parts."""
    made = Fraction.__new__(kind, numerator, denominator)
    made.place, made.written = place, written
    return made
