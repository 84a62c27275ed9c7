"""The dye book: one file per bath."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, ClassVar

from pydantic import Field, model_validator

from provenance.problems import Place, Said, Slip
from provenance.records import quantities as q
from provenance.records.amounts import DoseField, HoursDyeing
from provenance.records.fields import Colour, Day, Known, Name, Reads, Text, YesNo
from provenance.records.reading import Named, Record
from provenance.records.text import Written


@dataclass(frozen=True, slots=True)
class Heat:
    """How hot, and for how long; either may be missing."""

    celsius: q.Celsius | None
    hours: q.Hours | None
    place: Place


def _heat(text: Written, habits: q.Habits) -> Heat:
    at, _, held = re.sub(r"\s+", " ", text).strip().partition(" for ")
    if at.startswith("for "):
        at, held = "", at.removeprefix("for ")
    if not at and not held:
        raise Slip(Said("record.heat", text=text), Said("record.write_heat"))
    celsius = q.Celsius.of(Written(at, text.place), habits) if at else None
    hours = q.Hours.of(Written(held, text.place), habits) if held else None
    return Heat(celsius, hours, text.place)


class Dyeing(Record):
    """Mordants, dyes and after-baths, with their heat."""

    mordants: dict[Name, DoseField] = Field(default_factory=dict)
    dyes: dict[Name, DoseField] = Field(default_factory=dict)
    after: dict[Name, DoseField] = Field(default_factory=dict)
    heat: Annotated[Heat, Reads(_heat)] | None = None


class Step(Dyeing):
    """One step of a bath."""

    water: Text | None = None
    dips: q.Count | None = None
    time: q.Duration | None = None
    ph: Text | None = Field(None, alias="pH")
    notes: Text | None = None


MOST_DYED = 100


class DyedYarn(Record):
    """One yarn in the bath and the lot it becomes."""

    looks_like: ClassVar[Said] = Said("such.dyed")
    yarn: Name
    weight: q.Grams
    becomes: Name
    title: Text | None = None
    colour: Colour | None = None
    swatch: Text | None = None
    length: q.Centimetres | None = None
    dips: q.Count | None = None
    lost: q.Grams | None = None


class Bath(Named):
    """dyebook/NAME.yaml."""

    date: Day | None = None
    title: Text | None = None
    dyed: tuple[DyedYarn, ...] = ()
    steps: tuple[Step, ...] = ()
    exhaust_of: Name | None = None
    fibre_also_lost: q.Grams | None = None
    hours: HoursDyeing = Field(default_factory=dict)
    colour: Colour | None = None
    swatch: Text | None = None
    notes: Text | None = None
    public: YesNo = False
    kept: Text | None = None
    known: Known = ()

    @model_validator(mode="after")
    def _fits_a_pot(self) -> Bath:
        if len(self.dyed) > MOST_DYED:
            raise Slip(Said("record.full_bath", most=MOST_DYED), Said("record.one_bath"))
        return self
