"""What a hands-on hour is paid, from which day on, and what a sale by card costs.

In: `{any: 18.00, weaving: 22.00}`, or a list of such lines of which all but the first say `from`
which day they count; `1.75 % + 0.20`. Out: frozen `Rates` and `CardFee`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from pydantic import Field, model_validator
from pydantic.json_schema import SkipJsonSchema

from provenance.problems import NOWHERE, Place, Said, Slip
from provenance.records import quantities as q
from provenance.records.fields import Day, Name
from provenance.records.reading import Record
from provenance.records.text import Fields, Written

LATEST = date.max  # of a day nobody tells: what comes last counts
_BY = "\0by"


class Rates(Record):
    """Pay for an hour by activity; `any` for the rest."""

    from_: Day | None = None
    by: SkipJsonSchema[dict[Name, q.Money]] = Field(default_factory=dict, alias=_BY)

    @model_validator(mode="before")
    @classmethod
    def _activities_apart(cls, value: Any) -> Any:
        if not isinstance(value, Fields):
            return value
        by = Fields(value.place)
        by.update({value.word(word): value[word] for word in value if word != "from"})
        found = Fields(value.place, [(Written(_BY, value.place), by)])
        if "from" in value:
            found[value.word("from")] = value["from"]
        return found

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: Any, handler: Any) -> dict[str, Any]:
        shape: dict[str, Any] = handler.resolve_ref_schema(handler(schema))
        shape["additionalProperties"] = {"type": ["string", "number"], "description": "money"}
        return shape

    def pay_for(self, activity: str) -> q.Money | None:
        """The hourly pay of an activity, else the pay for `any`."""
        own = self.by.get(Written(activity))
        return own if own is not None else self.by.get(Written("any"))

    @property
    def first(self) -> date:
        """The first day it counts."""
        return self.from_ or date.min


def rates_on(lines: Sequence[Rates], day: date) -> Rates | None:
    """The line that counts on a day; before the first of them, the first."""
    in_turn = sorted(lines, key=lambda each: each.first)
    begun = [each for each in in_turn if each.first <= day]
    found = begun[-1:] or in_turn[:1]
    return found[0] if found else None


def refuse_twice(lines: Sequence[Rates]) -> None:
    """Slip where two lines begin on the same day, or are both without one."""
    seen: dict[date, Rates] = {}
    for each in lines:
        if each.first in seen:
            day = each.from_.isoformat() if each.from_ else ""
            what = Said("record.pay_twice", day=day) if day else Said("record.pay_no_from")
            raise Slip(what, Said("record.write_from"), each.record_place)
        seen[each.first] = each


@dataclass(frozen=True, slots=True)
class CardFee:
    """What a payment by card costs: a share of what is paid, and so much for each sale."""

    share: Fraction = Fraction(0)
    fixed: Fraction = Fraction(0)
    place: Place = NOWHERE

    def __bool__(self) -> bool:
        return bool(self.share or self.fixed)


def read_card_fee(text: Written, habits: q.Habits) -> CardFee:
    """`1.75 %`, `0.20`, or both with a plus between them, in either order."""
    parts = [Written(each.strip(), text.place) for each in text.split("+")]
    shares = [each for each in parts if "%" in each or "cent" in each]
    fixed = [each for each in parts if each not in shares]
    if len(shares) > 1 or len(fixed) > 1 or not all(parts):
        raise Slip(Said("record.card_fee", text=text), Said("record.write_card_fee"))
    if fixed and not shares and "." not in text and "," not in text:
        q.PartShare.of(text, habits)  # a bare 2 was meant as a share: its own words say so
    share = q.PartShare.of(shares[0], habits) if shares else Fraction(0)
    return CardFee(share, q.Money.of(fixed[0], habits) if fixed else Fraction(0), text.place)
