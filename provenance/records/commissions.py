"""What clients asked for: the record a quotation is worked out from."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Annotated, Any, ClassVar

from pydantic import Field, model_validator

from provenance.problems import Said, Slip
from provenance.records import quantities as q
from provenance.records.amounts import SizeField
from provenance.records.fields import Colour, Day, Name, OneOf, OneOrMore, PieceNumber, Reads, Text
from provenance.records.pieces import KINDS
from provenance.records.reading import Record
from provenance.records.sales import Buyer
from provenance.records.text import Fields, Items, Written, written
from provenance.records.woven import SettNoted


def _days(text: Written) -> int:
    number, _, unit = text.strip().partition(" ")
    factor = {"day": 1, "days": 1, "week": 7, "weeks": 7, "": 1}.get(unit.strip())
    if not re.fullmatch("[0-9]{1,4}", number) or factor is None:
        raise Slip(Said("value.number_of_days", text=text), Said("value.write_number_of_days"))
    return int(number) * factor


def _instalments(value: Any, habits: q.Habits) -> tuple[Fraction, ...]:
    if isinstance(value, Items):
        shares = tuple(Fraction(q.Share.of(each, habits)) for each in value)
        if sum(shares) != 1:
            raise Slip(Said("record.instalments"), Said("record.instalments_such"))
        return shares
    parts = {"one": 1, "whole": 1, "halves": 2, "thirds": 3, "quarters": 4}.get(written(value))
    if parts is None:
        raise Slip(Said("record.pay_in", text=value), Said("record.pay_in_such"))
    return (Fraction(1, parts),) * parts


def _extras(value: Any, habits: q.Habits) -> dict[str, q.Money]:
    if not isinstance(value, Fields):
        raise Slip(Said("record.extras"), Said("record.write_extras"))
    return {word: q.Money.of(each, habits) for word, each in value.items()}


COMMISSION_STATES = ("asked", "quoted", "accepted", "declined", "lapsed", "finished")

Instalments = Annotated[
    tuple[Fraction, ...], Reads(_instalments, as_text=False, type=["string", "array"])
]
Extras = Annotated[dict[str, q.Money], Reads(_extras, as_text=False, type="object")]


class Allowances(Record):
    """What weaving and finishing take; a length for loom waste, shares for the rest."""

    take_up: q.Share | None = Field(None, alias="take-up")
    shrink_width: q.Share | None = None
    shrink_length: q.Share | None = None
    loom_waste: q.Centimetres | None = None
    spare: q.Share | None = None


class PlannedColour(Record):
    """A colour of the new piece: a lot in the dye book, or near a colour."""

    lot: Name | None = None
    near: Colour | None = None
    share: q.Share | None = None
    use: Text | None = None

    @model_validator(mode="after")
    def _one_colour(self) -> PlannedColour:
        if (self.lot is None) == (self.near is None):
            raise Slip(Said("record.one_colour"), Said("record.write_colour"))
        return self


class HoursQuoted(Record):
    """The hours a quotation was made from: what was likely, and the range around it."""

    looks_like: ClassVar[Said] = Said("such.hours_quoted")

    likely: q.Hours
    low: q.Hours
    high: q.Hours


class Accepted(Record):
    """What was agreed: the day, the size chosen, the price, the piece it started, its hours."""

    looks_like: ClassVar[Said] = Said("such.accepted")

    on: Day
    size: SizeField | None = None
    price: q.Money | None = None
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
    allow: Allowances = Field(default_factory=Allowances)
    yarn: dict[Name, Name] = Field(default_factory=dict)
    colours: tuple[PlannedColour, ...] = ()
    extras: Extras = Field(default_factory=dict)
    offer: Annotated[tuple[q.Money, ...], OneOrMore()] = ()
    margin: q.Share | None = None
    tolerance: q.Share | None = None
    pay_in: Instalments | None = None
    valid: Annotated[int, Reads(_days, type=["string", "integer"])] = 30
    quoted: Day | None = None
    hours: q.Hours | None = None
    status: Annotated[Written, OneOf(*COMMISSION_STATES)] = Written("asked")
    accepted: Accepted | None = None
    notes: Text | None = None
    words: Text | None = None

    @model_validator(mode="after")
    def _sizes_fit(self) -> Commission:
        if len(self.sizes) > 3:
            raise Slip(Said("record.sizes"), Said("record.three_sizes"))
        return self
