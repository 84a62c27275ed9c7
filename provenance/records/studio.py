"""The studio file: the maker, pay, prices, labels, site, and how papers are printed."""

import re
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Annotated, Self

from pydantic import Field, model_validator

from provenance.problems import Said, Slip, did_you_mean
from provenance.records import quantities as q
from provenance.records.amounts import SundryUse
from provenance.records.fields import (
    Known,
    Language,
    Markets,
    Name,
    OneOf,
    OneOrMore,
    Reads,
    Text,
    YesNo,
)
from provenance.records.pay import LATEST, Rates, rates_on, refuse_twice
from provenance.records.reading import Record
from provenance.records.tax_year import TaxYear, read_tax_year, read_year
from provenance.records.text import Written
from provenance.reference.currencies import currency_codes


@dataclass(frozen=True, slots=True)
class Tax:
    """`way` is none, included or added; `share` is 0 where there is none."""

    way: str
    share: Fraction


def _overhead(text: Written, habits: q.Habits) -> q.Share | q.Rate:
    """A share of materials and labour, or an amount per hands-on hour."""
    return q.Rate.of(text, habits) if "hour" in text else q.Share.of(text, habits)


def _tax(text: Written, habits: q.Habits) -> Tax:
    if text == "none":
        return Tax("none", Fraction(0))
    for way in ("included", "added"):
        if way in text:
            return Tax(way, q.Share.read(text.replace(way, "").strip(" ,"), habits))
    raise Slip(Said("record.tax", text=text), Said("record.write_tax"))


def _currency(text: Written) -> Written:
    if text.upper() not in currency_codes():
        near = did_you_mean(text.upper(), currency_codes())
        raise Slip(Said("value.currency", text=text), near or Said("value.write_currency"))
    return Written(text.upper(), text.place)


def _site(text: Written) -> Written:
    if not re.fullmatch(r"https?://[\w.-]+(:[0-9]{1,5})?(/[\w.~/-]*)?", text):
        raise Slip(Said("value.site", text=text), Said("value.write_site"))
    return Written(str(text).rstrip("/"), text.place)


Year = Annotated[int, Reads(read_year, type=["string", "number"])]


class Light(Record):
    """The home wall that light guidance is worked out for."""

    lux: q.Count = q.Count(150)
    hours_a_day: q.Hours = q.Hours(10)

    @model_validator(mode="after")
    def _gives_light(self) -> Self:
        for value in (self.lux, self.hours_a_day):
            if value <= 0:
                raise Slip(Said("light.no_wall"), Said("light.write_wall"), value.place)
        if self.hours_a_day > 24:
            what = Said("light.long_day")
            raise Slip(what, Said("light.write_wall"), self.hours_a_day.place)
        return self


class Prices(Record):
    """How prices are rounded and shown."""

    round_up_to: q.Money | None = None
    shown_on_site: YesNo = True
    tax: Annotated[Tax, Reads(_tax)] = Tax("none", Fraction(0))


class Printing(Record):
    """Hang-tags and sheets: tag size, sheet, what the printer shifts."""

    tag_size: Text | None = None
    sheet: Text = Written("A4")
    shift_right: q.Centimetres | None = None
    shift_down: q.Centimetres | None = None
    shift_left: q.Centimetres | None = None
    shift_up: q.Centimetres | None = None
    stub: YesNo | None = None
    black_only: YesNo = False
    stack: YesNo = True


class StudioFile(Record):
    """studio/studio.yaml."""

    studio: Text
    maker: Text
    mark: Text | None = None
    place: Text | None = None
    language: Language = Written("en-GB")
    currency: Annotated[Written, Reads(_currency)] = Written("GBP")
    site: Annotated[Written, Reads(_site)] | None = None
    contact: dict[Name, Text] = Field(default_factory=dict)
    public_contact: Annotated[tuple[Text, ...], OneOrMore()] = ()
    labels_for: Markets = ()
    origin: Text | None = None
    responsible_person: Text | None = None
    pay: Annotated[tuple[Rates, ...], OneOrMore()] = ()
    overhead: Annotated[q.Share | q.Rate, Reads(_overhead)] | None = None
    overhead_paid: dict[Year, q.Money] = Field(default_factory=dict)
    tax_year: Annotated[TaxYear, Reads(read_tax_year)] = TaxYear()
    books: Annotated[Written, OneOf("cash", "accruals")] | None = None
    remind: dict[Name, SundryUse] = Field(default_factory=dict)
    profit: q.Share = q.Share(0)
    heat: q.Rate | None = None
    every_piece_takes: dict[Name, SundryUse] = Field(default_factory=dict)
    prices: Prices = Field(default_factory=Prices)
    week: q.Hours | None = None
    light: Light = Field(default_factory=Light)
    decimal_comma: YesNo = False
    hours_on_certificate: YesNo = True
    statement: Text | None = None
    about: Text | None = None
    tags: Printing = Field(default_factory=Printing)
    phrases: dict[Text, Text] = Field(default_factory=dict)
    deposit: Text | None = None
    known: Known = ()

    @property
    def habits(self) -> q.Habits:
        """How this studio writes numbers, in its records and to a command."""
        return q.Habits(self.decimal_comma, str(self.currency))

    @model_validator(mode="after")
    def _pay_once_a_day(self) -> Self:
        refuse_twice(self.pay)
        return self

    def pay_for(self, activity: str, day: date = LATEST) -> q.Money | None:
        """The hourly pay of an activity on a day, else the pay for `any`."""
        rates = rates_on(self.pay, day)
        return rates.pay_for(activity) if rates else None
