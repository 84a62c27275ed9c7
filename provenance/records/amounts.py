"""Amounts whose kind is told by their unit: doses, uses of sundries, logged hours, sizes.

In: placed values. Out: frozen amounts. `12 %` is a share of the dry weight of fibre, `124 g` a
weight; `1` counts, `1.2 m` measures, `40 g` weighs; hours are a number or a log of days.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Annotated, Any

from pydantic import BeforeValidator, PlainValidator, ValidationInfo, WithJsonSchema

from provenance.problems import Place, Slip
from provenance.records import quantities as q
from provenance.records.fields import Name, SlipAt, read_as, read_day, written
from provenance.records.numbers import LENGTHS
from provenance.records.text import Fields, Items, Written


@dataclass(frozen=True, slots=True)
class Dose:
    """Dyestuff or mordant for a bath: a share of the dry fibre, or grams."""

    place: Place
    share: q.Share | None = None
    grams: q.Grams | None = None


@dataclass(frozen=True, slots=True)
class SundryUse:
    """How much of a sundry is used: `unit` is '' (counted), 'g' or 'cm'."""

    amount: Fraction
    unit: str
    place: Place


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

    @property
    def place(self) -> Place:
        return self.hours.place


@dataclass(frozen=True, slots=True)
class Size:
    """Height by width, and depth where there is one; centimetres."""

    height: q.Centimetres
    width: q.Centimetres
    depth: q.Centimetres | None
    place: Place
    written: str

    @property
    def area(self) -> Fraction:
        """Square centimetres."""
        return self.height * self.width


def _habits(info: ValidationInfo) -> q.Habits:
    return info.context or q.Habits()


def _dose(value: Any, info: ValidationInfo) -> Dose:
    text = written(value)
    if not text.strip():
        raise SlipAt("an amount is wanted here", "such as '12 %' or '124 g'", text.place)
    if "%" in text or "per" in text:
        return Dose(text.place, share=read_as(q.Share)(text, info))
    if re.fullmatch(r"[\d.,\s/]+", text):
        raise Slip(
            f"'{text}' is an amount without a unit", f"write '{text.strip()} %' or '{text} g'"
        )
    return Dose(text.place, grams=read_as(q.Grams)(text, info))


def _sundry_use(value: Any, info: ValidationInfo) -> SundryUse:
    text = written(value)
    unit = re.sub(r"[0-9.,\s/½¼¾⅓⅔-]", " ", text).split()
    if not unit:
        return SundryUse(q.Count.read(text, _habits(info)), "", text.place)
    kind = q.Centimetres if unit[-1].lower() in LENGTHS else q.Grams
    return SundryUse(kind.read(text, _habits(info)), kind.unit, text.place)


def _spent(value: Any, info: ValidationInfo) -> Spent:
    if isinstance(value, Fields):
        log: tuple[Logged, ...] = (_logged(value, info),)
    elif isinstance(value, Items):
        log = tuple(_logged(each, info) for each in value)
    else:
        return Spent(read_as(q.Hours)(value, info))
    whole = sum((each.hours for each in log), Fraction(0))
    return Spent(q.Hours(whole, value.place, f"{len(log)} log lines"), log)


def _logged(value: Any, info: ValidationInfo) -> Logged:
    if not isinstance(value, Fields) or set(value) != {"on", "for"}:
        place = getattr(value, "place", None)
        remedy = "write '- {on: 2026-08-03, for: 3 h}'"
        raise SlipAt("a log line wants a day and a time", remedy, place)
    return Logged(read_day(value["on"]), read_as(q.Hours)(value["for"], info))


_CROSS = re.compile(r"\s*[x×*]\s*|\s+by\s+", re.IGNORECASE)


def _size(value: Any, info: ValidationInfo) -> Size:
    text = written(value)
    parts = [part.strip() for part in _CROSS.split(text)]
    if len(parts) not in (2, 3) or not all(parts):
        raise Slip(f"'{text}' is not a size", "write height x width, such as 124 x 86 cm")
    unit = _last_unit(parts[-1])
    if unit is None:
        raise Slip(f"'{text}' is a size without a unit", f"write for example '{text} cm'")
    sides = [_side(part, unit, text.place, _habits(info)) for part in parts]
    if any(side == 0 for side in sides):
        raise Slip(f"'{text}' has a side of nothing", "height x width, such as 124 x 86 cm")
    return Size(sides[0], sides[1], sides[2] if len(sides) == 3 else None, text.place, str(text))


def _last_unit(part: str) -> str | None:
    found = re.search(r"([A-Za-z\"']+)\s*$", part)
    return found[1] if found else None


def _side(part: str, unit: str, place: Place, habits: q.Habits) -> q.Centimetres:
    whole = part if _last_unit(part) else f"{part} {unit}"
    return q.Centimetres(q.Centimetres.read(whole, habits), place, part)


def _under(activity: str) -> Callable[[Any], Any]:
    """Hours written as one number, or one log, are hours of this activity."""

    def named(value: Any) -> Any:
        if not isinstance(value, (Written, Items)):
            return value
        fields = Fields(value.place)
        fields[Written(activity, value.place)] = value
        return fields

    return named


_SCALAR = {"type": ["string", "number"]}
_LOG_LINE = {"type": "object", "required": ["on", "for"]}

DoseField = Annotated[Dose, PlainValidator(_dose), WithJsonSchema(_SCALAR)]
SundryUseField = Annotated[SundryUse, PlainValidator(_sundry_use), WithJsonSchema(_SCALAR)]
_SPENT: dict[str, Any] = {"anyOf": [_SCALAR, {"type": "array", "items": _LOG_LINE}]}
SpentField = Annotated[Spent, PlainValidator(_spent), WithJsonSchema(_SPENT)]
SizeField = Annotated[
    Size,
    PlainValidator(_size),
    WithJsonSchema({"type": "string", "description": "height x width (x depth): 124 x 86 cm"}),
]
_HOURS_SHAPE = WithJsonSchema(
    {
        "description": "Hours by activity: {weaving: 12, finishing: 4 h 30 min}, or one number.",
        "anyOf": [_SPENT, {"type": "object", "additionalProperties": _SPENT}],
    }
)
_HoursOf = dict[Name, SpentField]
HoursMaking = Annotated[_HoursOf, BeforeValidator(_under("making")), _HOURS_SHAPE]
HoursSpinning = Annotated[_HoursOf, BeforeValidator(_under("spinning")), _HOURS_SHAPE]
HoursGathering = Annotated[_HoursOf, BeforeValidator(_under("gathering")), _HOURS_SHAPE]
HoursDyeing = Annotated[_HoursOf, BeforeValidator(_under("dyeing")), _HOURS_SHAPE]
