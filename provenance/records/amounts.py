"""Amounts whose kind is told by their unit: doses, uses of sundries, logged hours, sizes.

In: placed values. Out: frozen amounts. `12 %` is a share of the dry weight of fibre, `124 g` a
weight; `1` counts, `1.2 m` measures, `40 g` weighs; hours are a number or a log of days.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Annotated, Any

from pydantic import BeforeValidator, WithJsonSchema

from provenance.problems import Place, Said, Slip
from provenance.records import quantities as q
from provenance.records.fields import Name, Reads, day
from provenance.records.numbers import LENGTHS, exact, tidy
from provenance.records.text import Fields, Items, Written, written

Dose = q.Share | q.Grams  # dyestuff or mordant for a bath: a share of the dry fibre, or grams


@dataclass(frozen=True, slots=True)
class Logged:
    """One line of a log: hours on a day."""

    on: date
    hours: q.Hours


@dataclass(frozen=True, slots=True)
class Spent:
    """Hours spent on one activity, with the log they were added from."""

    hours: q.Hours
    log: tuple[Logged, ...] = ()

    def __reduce__(self) -> tuple[Any, ...]:
        return Spent, (self.hours, self.log)  # sooner than field by field; there are many


@dataclass(frozen=True, slots=True)
class Size:
    """Height by width, and depth where there is one; centimetres."""

    height: q.Centimetres
    width: q.Centimetres
    depth: q.Centimetres | None
    place: Place
    written: str

    @property
    def sides(self) -> tuple[Fraction, ...]:
        """Height, width and, where there is one, depth, in centimetres."""
        found = (self.height, self.width, self.depth)
        return tuple(Fraction(side) for side in found if side is not None)

    @property
    def area(self) -> Fraction:
        """Square centimetres."""
        return self.height * self.width


def _dose(text: Written, habits: q.Habits) -> Dose:
    if not text.strip():
        raise Slip(Said("amount.no_dose"), Said("amount.dose_such"))
    if "%" in text or "per" in text:
        return q.Share.of(text, habits)
    if re.fullmatch(r"[\d.,\s/]+", text):
        raise Slip(Said("amount.dose", text=text), _dose_meant(text, habits))
    return q.Grams.of(text, habits)


def _dose_meant(text: str, habits: q.Habits) -> Said:
    """What a bare number may have been meant as: 12 is 12 % or 12 g, 0.12 more likely 12 %."""
    bare = text.strip()
    share = exact(tidy(bare, habits))
    if 0 < share < 1:
        return Said("amount.write_dose_of_one", text=bare, percent=share * 100)
    return Said("amount.write_dose", text=text, bare=bare)


def _sundry_use(text: Written, habits: q.Habits) -> q.Quantity:
    unit = re.sub(r"[0-9.,\s/½¼¾⅓⅔-]", " ", text).split()
    kind: type[q.Quantity] = q.Count
    if unit:
        kind = q.Centimetres if unit[-1].lower() in LENGTHS else q.Grams
    return kind.of(text, habits)


def _spent(value: Any, habits: q.Habits) -> Spent:
    if not isinstance(value, (Fields, Items)):
        return Spent(q.Hours.of(value, habits))
    log = tuple(_logged(each, habits) for each in (value if isinstance(value, Items) else [value]))
    return Spent(q.Hours(sum((each.hours for each in log), Fraction(0)), value.place), log)


def _logged(value: Any, habits: q.Habits) -> Logged:
    if not isinstance(value, Fields) or set(value) != {"on", "for"}:
        place = getattr(value, "place", None)
        raise Slip(Said("amount.log"), Said("amount.log_such"), place)
    text = written(value["on"])
    try:
        on = day(text)
    except Slip as slip:
        raise slip.at(text.place) from None
    return Logged(on, q.Hours.of(value["for"], habits))


_POINT = q.Habits()
_UNIT = re.compile(r"([A-Za-z\"']+)\s*$")
_THINNEST = Fraction(1, 100)  # centimetres: the side of no cloth
_CROSS = re.compile(r"\s*[x×*]\s*|\s+by\s+", re.IGNORECASE)


def size_from(typed: str, habits: q.Habits = _POINT) -> Size:
    """A size as it is typed: height x width (x depth); Slip if it is none."""
    text = Written.of(typed)
    parts = [part.strip() for part in _CROSS.split(text)]
    if len(parts) not in (2, 3) or not all(parts):
        raise Slip(Said("amount.size", text=text), Said("amount.write_size"))
    unit = _UNIT.search(parts[-1])
    if not unit:
        raise Slip(Said("amount.size_unit", text=text), Said("amount.size_with_unit", text=text))
    wholes = [part if _UNIT.search(part) else f"{part} {unit[1]}" for part in parts]
    sides = [
        q.Centimetres(q.Centimetres.read(whole, habits), text.place, part)
        for whole, part in zip(wholes, parts, strict=True)
    ]
    if min(sides) < _THINNEST:
        raise Slip(Said("amount.size_nothing", text=text), Said("amount.size_such"))
    return Size(sides[0], sides[1], sides[2] if len(sides) == 3 else None, text.place, str(text))


def _under(activity: str) -> Callable[[Any], Any]:
    """Hours written as one number, or one log, are hours of this activity."""

    def named(value: Any) -> Any:
        if not isinstance(value, (Written, Items)):
            return value
        return Fields(value.place, [(Written(activity, value.place), value)])

    return named


_SCALAR = {"type": ["string", "number"]}
_LOG = {"type": "array", "items": {"type": "object", "required": ["on", "for"]}}
_SPENT: dict[str, Any] = {"anyOf": [_SCALAR, _LOG]}
_HOURS = WithJsonSchema(
    {"anyOf": [_SPENT, {"type": "object", "additionalProperties": _SPENT}], "description": "hours"}
)

DoseField = Annotated[Dose, Reads(_dose, **_SCALAR)]
SundryUse = Annotated[q.Quantity, Reads(_sundry_use, **_SCALAR)]  # counted, in cm or in grams
SizeField = Annotated[Size, Reads(size_from, type="string", description="size")]
_HoursOf = dict[Name, Annotated[Spent, Reads(_spent, as_text=False, **_SPENT)]]
HoursMaking = Annotated[_HoursOf, BeforeValidator(_under("making")), _HOURS]
HoursSpinning = Annotated[_HoursOf, BeforeValidator(_under("spinning")), _HOURS]
HoursGathering = Annotated[_HoursOf, BeforeValidator(_under("gathering")), _HOURS]
HoursDyeing = Annotated[_HoursOf, BeforeValidator(_under("dyeing")), _HOURS]
