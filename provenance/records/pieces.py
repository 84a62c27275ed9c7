"""A piece: what was made, of what, in how many hours, where it is, what became of it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from typing import Annotated, ClassVar

from pydantic import Field, model_validator

from provenance.problems import Place, Said, Slip, did_you_mean
from provenance.records import quantities as q
from provenance.records.amounts import HoursMaking, HoursSpinning, SizeField, SundryUse
from provenance.records.baths import Dyeing
from provenance.records.days import PartKnown, as_day
from provenance.records.fibres import Fibres
from provenance.records.fields import (
    Colour,
    Day,
    Known,
    Name,
    OneOf,
    OneOrMore,
    PieceNumber,
    Reads,
    Text,
    YesNo,
    day,
)
from provenance.records.photos import Photos
from provenance.records.reading import Record
from provenance.records.text import Written, written

KINDS = (
    "hanging", "rug", "blanket", "throw", "shawl", "scarf", "runner", "cushion", "cloth",
    "garment", "bag", "other",
)  # fmt: skip
STATES = (
    "in progress", "available", "reserved", "sold", "not for sale", "commission", "withdrawn",
)  # fmt: skip
FOR_SALE = ("available", "reserved")
FINISHING, A_PHOTO = Said("lacks.finishing"), Said("lacks.photo")  # among what a piece is missing


@dataclass(frozen=True, slots=True)
class Status:
    """`state` is one of STATES; `until` for a reservation, `commission` its number."""

    state: str
    place: Place
    until: date | None = None
    commission: str = ""


def read_status(text: Written) -> Status:
    """Where a piece stands, as a record says it."""
    plain = re.sub(r"\s+", " ", text).strip()
    if plain.lower() in STATES:
        return Status(plain.lower(), text.place)
    if found := re.fullmatch(r"reserved (?:until )?(\S+)", plain, re.IGNORECASE):
        return Status("reserved", text.place, until=day(found[1]))
    if found := re.fullmatch(r"commission ([\w-]+)", plain, re.IGNORECASE):
        return Status("commission", text.place, commission=found[1])
    raise Slip(Said("record.status", text=text), did_you_mean(plain, STATES))


class YarnUse(Dyeing):
    """One yarn of a piece: drawn from a lot or spun for it; dyed in place or not."""

    looks_like: ClassVar[Said] = Said("such.yarn")

    use: Text = Written("")
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
        return self


class Part(Record):
    """What a label must name beside the cloth: a lining, a filling, a trimming."""

    looks_like: ClassVar[Said] = Said("such.part")

    fibre: Fibres | None = None
    weight: q.Grams | None = None
    warm: YesNo = False
    animal: YesNo = False
    made_in: Text | None = None


class SettNoted(Record):
    """Ends and picks, for later quotations."""

    ends: q.PerCentimetre | None = None
    picks: q.PerCentimetre | None = None


class Buyer(Record):
    """Who bought it; stays in private papers."""

    name: Text | None = None
    email: Text | None = None
    phone: Text | None = None
    post: Text | None = None
    notes: Text | None = None


class Sale(Record):
    """When it was sold, for how much, where, to whom."""

    looks_like: ClassVar[Said] = Said("such.sale")

    on: Day
    price: q.Money | None = None
    to: Text | None = None
    consent: YesNo = False
    at: Name | None = None
    kept_back: q.Money | None = None
    buyer: Buyer | None = None
    notes: Text | None = None


class Event(Record):
    """Something in the life of the piece, for its history and provenance line."""

    looks_like: ClassVar[Said] = Said("such.event")

    on: Annotated[Written, Reads(written)]
    event: Text
    public: YesNo = True


class SharedWork(Record):
    """Hours of work done for several pieces at once, such as one warp for ten towels."""

    with_: Annotated[tuple[PieceNumber, ...], OneOrMore()]
    by: Annotated[Written, OneOf("weight", "length", "number")] = Written("number")
    hours: HoursMaking


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
    edition: Text | None = None
    yarns: tuple[YarnUse, ...] = ()
    sundries: dict[Name, SundryUse] = Field(default_factory=dict)
    parts: dict[Name, Part] = Field(default_factory=dict)
    hours: HoursMaking = Field(default_factory=dict)
    shared: SharedWork | None = None
    sett: SettNoted | None = None
    woven: Annotated[Written, OneOf("sideways", "lengthways")] | None = None
    hook: q.AboveEdge | None = None
    price: q.Money | None = None
    price_on_site: YesNo | None = None
    at: Name | None = None
    status: Annotated[Status, Reads(read_status)] | None = None
    sale: Sale | None = None
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

    @property
    def state(self) -> str:
        """Where the piece stands; one line about a sale is enough to make it sold."""
        stated = self.status.state if self.status else "available"
        return "sold" if self.sale and stated in FOR_SALE else stated

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
