"""Lots that came in or were spun: fleece, dyestuffs, mordants, yarns, sundries; and outlets."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Annotated, Any

from pydantic import Field, model_validator

from provenance.problems import Said, Slip
from provenance.records import quantities as q
from provenance.records.amounts import HoursGathering, HoursSpinning, SundryUse
from provenance.records.fibres import Fibres
from provenance.records.fields import (
    Colour,
    Language,
    Markets,
    Name,
    OneOf,
    PartDay,
    Reads,
    Text,
    YesNo,
    day,
)
from provenance.records.pay import CardFee, read_card_fee
from provenance.records.reading import Named
from provenance.records.terms import ShowRules, Terms
from provenance.records.text import Fields, Items, Written, written


def _sum_of_weights(value: Any, habits: q.Habits) -> dict[str, q.Grams | None]:
    """Lots drawn: a name alone, or names with weights; a blend wants every weight."""
    if isinstance(value, Items):
        first = value[0] if value and isinstance(value[0], Written) else "LOT"
        raise Slip(Said("record.each_weight"), Said("record.write_weights", name=first))
    if not isinstance(value, Fields):
        return {written(value): None}
    unknown = [word for word, each in value.items() if isinstance(each, Written) and each.is_empty]
    if unknown and len(value) > 1:
        name = value.word(unknown[0])
        what, remedy = Said("record.weight_of", name=name), Said("record.write_weight", name=name)
        raise Slip(what, remedy, name.place)
    return {
        word: None if word in unknown else q.Grams.of(each, habits) for word, each in value.items()
    }


_OPEN = {"type": ["string", "object"]}
Drawn = Annotated[dict[str, q.Grams | None], Reads(_sum_of_weights, as_text=False, **_OPEN)]


class Lot(Named):
    """What every lot that came in may say of itself."""

    notes: Text | None = None
    kept: Text | None = None
    public: YesNo = False
    bought: PartDay | None = None
    opening: YesNo = False
    made_in: Text | None = None
    title: Text | None = None


class Fleece(Lot):
    """A fleece lot, or combed tops bought for spinning; weights in the grease."""

    fibre: Fibres = Field(default_factory=lambda: {"wool": Fraction(1)})
    breed: Text | None = None
    from_: Text | None = None
    address: Text | None = None
    animal: Text | None = None
    shorn: PartDay | None = None
    weight: q.Grams
    cost: q.Money | None = None
    scoured: q.YieldShare | None = None
    carded: q.YieldShare | None = None
    spun: q.YieldShare | None = None
    staple: q.Centimetres | None = None
    micron: Text | None = None
    colour: Colour | None = None
    hours: HoursGathering = Field(default_factory=dict)
    lost: q.Grams | None = None
    permit: Text | None = None
    virgin: YesNo = False
    recycled: YesNo = False


class Dyestuff(Lot):
    """A dyestuff on the shelf: bought, grown or gathered."""

    species: Text | None = None
    part: Text | None = None
    got: Text | None = None
    from_: Text | None = None
    weight: q.Grams | None = None
    cost: q.Money | None = None
    hours: HoursGathering = Field(default_factory=dict)
    permit: Text | None = None
    lost: q.Grams | None = None


class Mordant(Lot):
    """A mordant, an assistant or a modifier."""

    is_: Text | None = None
    from_: Text | None = None
    weight: q.Grams | None = None
    cost: q.Money | None = None
    hours: HoursGathering = Field(default_factory=dict)
    lost: q.Grams | None = None


class Yarn(Lot):
    """Yarn spun here from fleece lots, or bought."""

    fleece: Drawn | None = None
    fibre: Fibres | None = None
    breed: Text | None = None
    from_: Text | None = None
    weight: q.Grams | None = None
    length: q.Centimetres | None = None
    plies: q.Count | None = None
    twist: Text | None = None
    count: Text | None = None
    cost: q.Money | None = None
    colour: Colour | None = None
    dyes: Text | None = None
    dyed: Annotated[Written, OneOf("by the mill", "no")] | None = None
    spun: PartDay | None = None
    hours: HoursSpinning = Field(default_factory=dict)
    lost: q.Grams | None = None
    permit: Text | None = None
    virgin: YesNo = False
    recycled: YesNo = False

    @model_validator(mode="after")
    def _spun_or_bought(self) -> Yarn:
        if self.fleece is None and self.weight is None:
            raise Slip(Said("record.bought_weight"), Said("record.add_weight"))
        if self.fleece and self.weight is None and None in self.fleece.values():
            raise Slip(Said("record.unweighed"), Said("record.weigh_one"))
        return self


class Sundry(Lot):
    """Anything counted, weighed or measured: bars, linings, labels, boxes."""

    each: q.Money | None = None
    weight: q.Grams | None = None
    length: q.Centimetres | None = None
    number: q.Count | None = None
    cost: q.Money | None = None
    material: Text | None = None
    fibre: Fibres | None = None
    weighs: q.Grams | None = None
    lost: SundryUse | None = None
    from_: Text | None = None
    animal: YesNo = False
    part: Text | None = None
    warm: YesNo = False

    @property
    def unit(self) -> str:
        """What it is counted in: '' (by number), 'cm' or 'g'; a price each goes by number."""
        if self.each is not None or not (self.length or self.weight):
            return ""
        return "cm" if self.length else "g"

    @property
    def amount(self) -> q.Quantity | None:
        """How much there is, in its unit; None where that is not written down."""
        return {"": self.number, "cm": self.length, "g": self.weight}[self.unit]

    @model_validator(mode="after")
    def _has_a_price(self) -> Sundry:
        if self.each is None and self.cost is None:
            raise Slip(Said("record.no_price"), Said("record.write_each"))
        if self.each is None and not (self.weight or self.length or self.number):
            raise Slip(Said("record.how_much"), Said("record.add_measure"))
        if self.lost is not None and self.lost.unit != self.unit:
            unit = Said(f"record.lost_{self.unit or 'number'}")
            raise Slip(Said("record.lost_unit"), unit, self.lost.place)
        return self


@dataclass(frozen=True, slots=True)
class Span:
    """First and last day."""

    first: date
    last: date


def read_span(text: Written) -> Span:
    """A span of days: `2026-11-28 to 2026-11-29`; one day is a span of its own."""
    parts = re.split(r"\s+(?:to|until|–|-)\s+", text.strip())
    first, last = day(parts[0]), day(parts[-1])
    if len(parts) > 2 or last < first:
        raise Slip(Said("value.days", text=text), Said("value.write_days"))
    return Span(first, last)


def _fees(value: Any, habits: q.Habits) -> dict[str, q.Money]:
    if isinstance(value, Fields):
        return {word: q.Money.of(each, habits) for word, each in value.items()}
    return {Written("fee"): q.Money.of(value, habits)}


Fees = Annotated[dict[str, q.Money], Reads(_fees, as_text=False, **_OPEN)]
OUTLET_KINDS = ("studio", "website", "fair", "gallery", "guild", "shop", "show", "other")


# What lies in papers/ besides a folder for each outlet: papers/private/ is for the maker alone.
OWN_FOLDERS = frozenset(("private", "kept", "quotations", "due", "catalogue"))


class Outlet(Lot):
    """Where pieces are shown and sold."""

    kind: Annotated[Written, OneOf(*OUTLET_KINDS)]
    dates: Annotated[Span, Reads(read_span)] | None = None
    place: Text | None = None
    address: Text | None = None
    web: Text | None = None
    hours: Text | None = None
    language: Language | None = None
    labels_for: Markets = ()
    commission: q.PartShare = q.PartShare(0)
    tax_on_commission: q.Share = q.Share(0)
    wholesale: q.PartShare | None = None
    card_fee: Annotated[CardFee, Reads(read_card_fee)] = CardFee()
    fees: Fees = Field(default_factory=dict)
    tag: Annotated[Written, OneOf("own", "gallery", "guild", "none")] | None = None
    tag_fields: tuple[Text, ...] = ()
    tag_size: Text | None = None
    terms: Terms = Field(default_factory=Terms)
    rules: ShowRules = Field(default_factory=ShowRules)
    packing: dict[Name, tuple[Text, ...]] = Field(default_factory=dict)
    contact: dict[Name, Text] = Field(default_factory=dict)
    shown_on_site: YesNo = True

    @model_validator(mode="after")
    def _buys_or_sells_for(self) -> Outlet:
        if self.name.casefold() in OWN_FOLDERS:
            what = Said("record.own_folder", name=str(self.name))
            raise Slip(what, Said("record.call_outlet", name=f"{self.name}-view"), self.name.place)
        if self.wholesale is not None and self.commission:
            place = self.wholesale.place
            raise Slip(Said("record.wholesale"), Said("record.write_wholesale"), place)
        return self

    @property
    def tag_kind(self) -> str:
        """The tag this outlet wants: its own word, else by kind (galleries get no contact)."""
        if self.tag:
            return str(self.tag)
        return {"gallery": "gallery", "guild": "guild", "shop": "gallery"}.get(self.kind, "own")
