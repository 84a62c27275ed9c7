"""A piece: what was made, of what, in how many hours, where it is, what became of it."""

from __future__ import annotations

import re
from collections import Counter
from datetime import date
from functools import cached_property
from itertools import chain, count
from typing import Annotated, ClassVar

from pydantic import Field, model_validator

from provenance.problems import Place, Said, Slip
from provenance.records import quantities as q
from provenance.records.amounts import HoursMaking, HoursSpinning, SizeField, SundryUse
from provenance.records.baths import Dyeing
from provenance.records.days import PartKnown, as_day
from provenance.records.fibres import Fibres
from provenance.records.fields import (
    Colour,
    Known,
    Name,
    OneOf,
    PartDay,
    PieceNumber,
    Reads,
    Text,
    YesNo,
)
from provenance.records.photos import Photos
from provenance.records.reading import Record
from provenance.records.sales import Sale
from provenance.records.sets import At, Edition, Places, Whole
from provenance.records.status import Status, read_status
from provenance.records.text import Written
from provenance.records.woven import Band, SettNoted, SharedWork

KINDS = (
    "hanging", "rug", "blanket", "throw", "shawl", "scarf", "runner", "cushion", "cloth",
    "garment", "bag", "other",
)  # fmt: skip
FOR_SALE = ("available", "reserved")
FINISHING, A_PHOTO = Said("lacks.finishing"), Said("lacks.photo")  # among what a piece is missing


class YarnUse(Dyeing):
    """One yarn of a piece: drawn from a lot or spun for it; dyed in place or not."""

    looks_like: ClassVar[Said] = Said("such.yarn")

    use: Text = Written("")
    name: Name | None = None
    lot: Name | None = None
    fleece: Name | None = None
    weight: q.Grams
    waste: q.Grams | None = None
    length: q.Centimetres | None = None
    hours: HoursSpinning = Field(default_factory=dict)
    colour: Colour | None = None
    notes: Text | None = None

    @model_validator(mode="after")
    def _one_source(self) -> YarnUse:
        if (self.lot is None) == (self.fleece is None):
            raise Slip(Said("record.one_source"), Said("record.write_lot"))
        if self.waste is not None and self.waste > self.weight:
            raise Slip(Said("record.waste"), Said("record.write_waste"), self.waste.place)
        if self.name and not self.is_in_place:
            named = Said("record.lot_is_named", lot=self.lot)
            raise Slip(named, Said("record.take_name_out"), self.name.place)
        return self

    @property
    def is_in_place(self) -> bool:
        """Whether it is spun or dyed where it is written."""
        return bool(self.fleece or self.dyes or self.mordants or self.after or self.hours)


class Part(Record):
    """What a label must name beside the cloth: a lining, a filling, a trimming."""

    looks_like: ClassVar[Said] = Said("such.part")

    fibre: Fibres | None = None
    weight: q.Grams | None = None
    warm: YesNo = False
    animal: YesNo = False
    made_in: Text | None = None


class Event(Record):
    """Something in the life of the piece, for its history and provenance line."""

    looks_like: ClassVar[Said] = Said("such.event")

    on: PartDay
    event: Text
    public: YesNo = True


class Piece(Record):
    """One finished (or half-known) piece."""

    number: PieceNumber
    title: Text
    kind: Annotated[Written, OneOf(*KINDS)] | None = None
    structure: Text | None = None
    finish: PartKnown | None = Field(None, alias="finished")
    earlier: YesNo = False
    made_of: Text | None = None
    size: SizeField | None = None
    weight: q.Grams | None = None
    signed: Text | None = None
    edition: Edition | None = None
    makes: Whole | None = None
    yarns: tuple[YarnUse, ...] = ()
    order: tuple[Band, ...] = ()
    sundries: dict[Name, SundryUse] = Field(default_factory=dict)
    parts: dict[Name, Part] = Field(default_factory=dict)
    hours: HoursMaking = Field(default_factory=dict)
    shared: SharedWork | None = None
    sett: SettNoted | None = None
    woven: Annotated[Written, OneOf("sideways", "lengthways")] | None = None
    hook: q.AboveEdge | None = None
    price: q.Money | None = None
    price_on_site: YesNo | None = None
    at: At | None = None
    status: Annotated[Status, Reads(read_status)] | None = None
    sale: Sale | None = None
    sales: tuple[Sale, ...] = ()
    history: tuple[Event, ...] = ()
    photos: Photos = ()
    story: Text | None = None
    care: Text | None = None
    subject: Text | None = None
    distinguishing: Text | None = None
    notes: Text | None = None
    kept: Text | None = None
    known: Known = ()
    hours_on_certificate: YesNo | None = None
    withdrawn: Text | None = None

    def name_in_place(self, index: int) -> str:
        """What a yarn written out in place is called: `2026-014 sky`; without a name of its own by
        its use and, where several have that use, its turn among them: `2026-014 weft 2`."""
        return f"{self.number} {self._names_in_place[index]}"

    @cached_property
    def _names_in_place(self) -> tuple[str, ...]:
        own = [str(yarn.name or "") for yarn in self.yarns]
        uses = [yarn.is_in_place and not yarn.name and str(yarn.use) for yarn in self.yarns]
        names, taken = list[str](), set(own)
        for turn, (given, use) in enumerate(zip(own, uses, strict=True)):
            first = uses[:turn].count(use) if use else turn
            numbered = (f"{use or 'yarn'} {number}" for number in count(first + 1))
            alone = (use,) if use and uses.count(use) == 1 else ()
            name = given or next(each for each in chain(alone, numbered) if each not in taken)
            taken.add(name)
            names.append(name)
        return tuple(names)

    @model_validator(mode="after")
    def _bands_of_its_yarns(self) -> Piece:
        for band in self.order:
            band.among(self.yarn_places)
        return self

    @cached_property
    def yarn_places(self) -> dict[str, int]:
        """Where each stands among its yarns: by lot or fleece, one made in place by its name."""
        lots = {str(yarn.lot or yarn.fleece): n for n, yarn in reversed([*enumerate(self.yarns)])}
        own = {name: n for n, name in enumerate(self._names_in_place) if self.yarns[n].is_in_place}
        return lots | own

    @model_validator(mode="after")
    def _of_its_time(self) -> Piece:
        """What only a piece made before records were kept may say, because no more is known."""
        if self.earlier:
            return self
        if self.finish is not None and self.finished is None:
            what = Said("record.part_day", text=self.finish)
            raise Slip(what, Said("record.write_day"), self.finish.place)
        if self.made_of is not None:
            raise Slip(Said("record.made_of"), Said("record.write_yarns"), self.made_of.place)
        return self

    @property
    def finished(self) -> date | None:
        """The day it was finished, where that is known."""
        return as_day(self.finish) if self.finish else None

    @model_validator(mode="after")
    def _sold_as_made(self) -> Piece:
        if self.sale and self.sales:
            raise Slip(Said("record.sale_twice"), Said("record.write_sales"),
                       self.sale.record_place)  # fmt: skip
        so_far = 0
        for sale in self.sold:
            so_far += sale.count
            if so_far > self.made:
                said = Said("record.oversold", sold=so_far, made=self.made)
                place = sale.items.place if sale.items else sale.record_place
                raise Slip(said, Said("record.count_items", made=self.made), place)
        return self

    @property
    def made(self) -> int:
        """How many like things the record is about."""
        return int(self.makes or 1)

    @property
    def sold(self) -> tuple[Sale, ...]:
        """Every sale that is written down."""
        return (self.sale,) if self.sale else self.sales

    @property
    def _stated(self) -> str:
        return self.status.state if self.status else "available"

    @property
    def left(self) -> int:
        """How many are not sold."""
        sold = sum(sale.count for sale in self.sold)
        return 0 if self._stated == "sold" else self.made - sold

    @property
    def places(self) -> tuple[Written, ...]:
        """Every place that is named as where it stands."""
        if isinstance(self.at, Places):
            return tuple(self.at.counts)
        return (self.at,) if self.at else ()

    @property
    def standing(self) -> dict[str, int]:
        """How many of those that are left are at which place; '' where none is written."""
        if not isinstance(self.at, Places):
            return {str(self.at or ""): self.left} if self.left else {}
        there = Counter[str]()
        for sale in self.sold:
            there[str(sale.at or "")] += sale.count
        return self.at.standing(self.left, there)

    @property
    def state(self) -> str:
        """Where the piece stands; it is sold once a sale is written for each that was made."""
        return "sold" if not self.left and self._stated in FOR_SALE else self._stated

    def place_of(self, photo: str) -> Place:
        """Where the record names a photo of its own."""
        return next(each.file.place for each in self.photos if each.file == photo)

    @property
    def year(self) -> str:
        """The year it was finished, else the year in its number."""
        return str(self.finish or self.number).split("-")[0]

    @property
    def unrecorded(self) -> tuple[Said, ...]:
        """What is not written down of all that papers, pages and sums could use."""
        lacks = {
            FINISHING: self.state == "in progress",
            Said("lacks.kind"): self.kind is None,
            Said("lacks.size"): self.size is None,
            Said("lacks.yarns"): not self.yarns,
            Said("lacks.hours"): not (
                self.hours or self.shared or any(yarn.hours for yarn in self.yarns)
            ),
            A_PHOTO: not self.photos,
        }
        return tuple(words for words, is_lacking in lacks.items() if is_lacking)

    @property
    def missing(self) -> tuple[Said, ...]:
        """What a finished piece's record still lacks; a piece that lacks anything is a draft.

        Of a piece made before records were kept, number, title and year are enough.
        """
        if not self.earlier:
            return self.unrecorded
        no_year = () if re.fullmatch("(19|20)[0-9]{2}", self.year) else (Said("lacks.year"),)
        return (*no_year, *(each for each in self.unrecorded if each == FINISHING))

    @property
    def is_recalled(self) -> bool:
        """Whether nobody wrote down what this earlier piece was made of."""
        return self.earlier and not self.yarns

    @property
    def is_draft(self) -> bool:
        """Drafts stay off the site."""
        return bool(self.missing)

    @property
    def can_be_costed(self) -> bool:
        """Enough is known for a cost sheet and a tag; a photo may come later."""
        return not set(self.unrecorded) - {A_PHOTO}
