"""A sale: when, for how much, where, to whom, and what was kept of it."""

from __future__ import annotations

from typing import ClassVar

from pydantic import model_validator

from provenance.problems import Said, Slip
from provenance.records import quantities as q
from provenance.records.fields import Day, Name, Text, YesNo
from provenance.records.reading import Record
from provenance.records.sets import Whole


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
    items: Whole | None = None
    to: Text | None = None
    consent: YesNo = False
    at: Name | None = None
    kept_back: q.Money | None = None
    paid: Day | None = None
    buyer: Buyer | None = None
    notes: Text | None = None

    @property
    def count(self) -> int:
        """How many like things were sold."""
        return int(self.items or 1)

    @model_validator(mode="after")
    def _kept_of_the_price(self) -> Sale:
        if self.kept_back and self.price is not None and self.kept_back > self.price * self.count:
            raise Slip(Said("record.kept_back"), Said("record.write_kept_back"),
                       self.kept_back.place)  # fmt: skip
        return self
