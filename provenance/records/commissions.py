"""What clients asked for: the record a quotation is worked out from."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Any, ClassVar

from pydantic import (
    Field,
    PlainValidator,
    TypeAdapter,
    ValidationError,
    ValidationInfo,
    WithJsonSchema,
    model_validator,
)

from provenance.problems import Slip
from provenance.records import quantities as q
from provenance.records.amounts import Size, SizeField
from provenance.records.fields import (
    Colour,
    Day,
    Length,
    Money,
    Name,
    OneOf,
    OneOrMore,
    PieceNumber,
    Share,
    Text,
    Time,
    read_as,
    written,
)
from provenance.records.pieces import KINDS, Buyer, SettNoted
from provenance.records.reading import Record
from provenance.records.text import Fields, Items, Written


@dataclass(frozen=True, slots=True)
class Days:
    """A number of days."""

    days: int


def size_from(text: str) -> Size:
    """A size as it is typed on a command line: height x width; Slip if it is none."""
    try:
        found: Size = TypeAdapter(SizeField).validate_python(Written(text))
    except ValidationError as error:
        raise error.errors()[0]["ctx"]["error"] from None
    return found


def _days(value: Any) -> Days:
    text = written(value)
    number, _, unit = text.strip().partition(" ")
    factor = {"day": 1, "days": 1, "week": 7, "weeks": 7, "": 1}.get(unit.strip())
    if not re.fullmatch("[0-9]{1,4}", number) or factor is None:
        raise Slip(f"'{text}' is no number of days", "write '30 days' or '4 weeks'")
    return Days(int(number) * factor)


def _instalments(value: Any, info: ValidationInfo) -> tuple[Fraction, ...]:
    if isinstance(value, Items):
        shares = tuple(Fraction(read_as(q.Share)(each, info)) for each in value)
        if sum(shares) != 1:
            raise Slip("the instalments do not add up to 100 %", "such as [40 %, 30 %, 30 %]")
        return shares
    parts = {"one": 1, "whole": 1, "halves": 2, "thirds": 3, "quarters": 4}.get(written(value))
    if parts is None:
        raise Slip(f"'{value}' is no way to pay", "halves, thirds, or [40 %, 30 %, 30 %]")
    return (Fraction(1, parts),) * parts


def _extras(value: Any, info: ValidationInfo) -> dict[str, q.Money]:
    if not isinstance(value, Fields):
        raise Slip("extras want words with amounts", "write '{design fee: 120, delivery: 40}'")
    return {word: read_as(q.Money)(each, info) for word, each in value.items()}


_STRING = WithJsonSchema({"type": "string"})
COMMISSION_STATES = ("asked", "quoted", "accepted", "declined", "lapsed", "finished")

Instalments = Annotated[
    tuple[Fraction, ...],
    PlainValidator(_instalments),
    WithJsonSchema({"type": ["string", "array"]}),
]
DaysField = Annotated[Days, PlainValidator(_days), WithJsonSchema({"type": ["string", "integer"]})]


class Allowances(Record):
    """What weaving and finishing take; a length for loom waste, shares for the rest."""

    take_up: Share | None = Field(None, alias="take-up")
    shrink_width: Share | None = None
    shrink_length: Share | None = None
    loom_waste: Length | None = None
    spare: Share | None = None


class PlannedColour(Record):
    """A colour of the new piece: a lot in the dye book, or near a colour."""

    lot: Name | None = None
    near: Colour | None = None
    share: Share | None = None
    use: Text | None = None

    @model_validator(mode="after")
    def _one_colour(self) -> PlannedColour:
        if (self.lot is None) == (self.near is None):
            raise Slip("a colour is a 'lot' or 'near' a colour", "write '{lot: NAME, share: 60 %}'")
        return self


class HoursQuoted(Record):
    """The hours a quotation was made from: what was likely, and the range around it."""

    looks_like: ClassVar[str] = "such as {likely: 52, low: 44, high: 61}"

    likely: Time
    low: Time
    high: Time


class Accepted(Record):
    """What was agreed: the day, the size chosen, the price, the piece it started, its hours."""

    looks_like: ClassVar[str] = (
        "such as {on: 2026-12-02, size: 180 x 60 cm, price: 720, piece: 2026-018}"
    )

    on: Day
    size: SizeField | None = None
    price: Money | None = None
    piece: PieceNumber | None = None
    hours: HoursQuoted | None = None


class Commission(Record):
    """commissions/NUMBER.yaml."""

    number: Name
    client: Buyer | None = None
    asked: Day | None = None
    title: Text | None = None
    kind: Annotated[Written, OneOf(*KINDS)] | None = None
    structure: Text | None = None
    like: PieceNumber | None = None
    sizes: Annotated[tuple[SizeField, ...], OneOrMore()] = ()
    woven: Annotated[Written, OneOf("sideways", "lengthways")] | None = None
    sett: SettNoted | None = None
    allow: Allowances = Allowances()
    yarn: dict[Name, Name] = Field(default_factory=dict)
    colours: tuple[PlannedColour, ...] = ()
    extras: Annotated[
        dict[str, q.Money], PlainValidator(_extras), WithJsonSchema({"type": "object"})
    ] = Field(default_factory=dict)
    offer: Annotated[tuple[Money, ...], OneOrMore()] = ()
    margin: Share | None = None
    tolerance: Share | None = None
    pay_in: (
        Annotated[
            tuple[Fraction, ...],
            PlainValidator(_instalments),
            WithJsonSchema({"type": ["string", "array"]}),
        ]
        | None
    ) = None
    valid: DaysField = Days(30)
    quoted: Day | None = None
    hours: Time | None = None
    status: Annotated[Written, OneOf(*COMMISSION_STATES)] = Written("asked")
    accepted: Accepted | None = None
    notes: Text | None = None
    words: Text | None = None

    @model_validator(mode="after")
    def _sizes_fit(self) -> Commission:
        if len(self.sizes) > 3:
            raise Slip("more than three sizes", "a quotation sets up to three side by side")
        return self
