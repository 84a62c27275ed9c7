"""The terms an outlet and the maker agreed on: payment, discounts, insurance, loss.

In: the words under `terms:` of an outlet. Out: frozen `Terms`; what carries a sum (a discount, the
payment for a loss) is read, the rest is kept as written. Who bears a discount must be written down
(code.visualarts.net.au, selling on-line); a lost piece is paid at its price less the commission, or
as a guild's rules have it (cwsg.missouri.org, older text: above 200 half the price).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Any

from pydantic import PlainValidator, ValidationInfo, WithJsonSchema

from provenance.problems import Slip
from provenance.records import quantities as q
from provenance.records.fields import Text, written
from provenance.records.reading import Record
from provenance.records.text import Written

BEARERS = ("gallery", "maker", "shared")


@dataclass(frozen=True, slots=True)
class Discount:
    """What may be taken off a price, as a share, and whose part it comes from."""

    share: Fraction
    bearer: str
    written: str


@dataclass(frozen=True, slots=True)
class Loss:
    """What is paid for a lost piece: price less commission; above `limit` a share of the price.

    `from_limit`: the limit itself counts as above.
    """

    share: Fraction | None = None
    limit: Fraction | None = None
    from_limit: bool = False
    written: str = ""


_BORNE = {
    "gallery": r"gallery|guild|shop|show|outlet|seller",
    "shared": r"shared|both|halves|in proportion",
    "maker": r"maker|me|mine|weaver|artist",
}


def _discount(value: Any, info: ValidationInfo) -> Discount:
    text = written(value)
    found = re.search(r"([0-9]+(?:\.[0-9]+)?) ?%", text)
    if not found:
        return Discount(Fraction(0), "", str(text))
    share = q.PartShare.read(found[0], info.context or q.Habits())
    borne = [who for who, words in _BORNE.items() if re.search(rf"\b({words})\b", text.lower())]
    if len(borne) != 1:
        raise Slip(
            f"'{text}': who bears it?",
            f"write '{found[0]}, borne by the gallery', 'borne by the maker' or 'shared'",
        )
    return Discount(share, borne[0], str(text))


def _loss(value: Any, info: ValidationInfo) -> Loss:
    text = written(value)
    said = " ".join(text.lower().split())
    found = re.fullmatch(
        r"(?:price less commission(?: under [0-9.]+)?[,;]? ?(?:and )?)?"
        r"(half|[0-9.]+ ?%)(?: of)? the price(?: (over|above|from) (.+))?",
        said,
    )
    if said == "price less commission":
        return Loss(written=str(text))
    if not found:
        raise Slip(
            f"'{text}' is no payment for a loss",
            "write 'price less commission', or add ', half the price over 200'",
        )
    habits = info.context or q.Habits()
    share = Fraction(1, 2) if found[1] == "half" else q.PartShare.read(found[1], habits)
    limit = q.Money.read(found[3], habits) if found[3] else Fraction(0)
    return Loss(share, limit, found[2] in (None, "from"), str(text))


_STRING = WithJsonSchema({"type": "string"})


class Terms(Record):
    """The terms of an outlet; what is not said here is left open on the sheet, to be filled in."""

    term: Text | None = None
    payment: Text | None = None
    discount: Annotated[Discount, PlainValidator(_discount), _STRING] | None = None
    insured_from: Text | None = None
    loss: Annotated[Loss, PlainValidator(_loss), _STRING] = Loss()
    freight: Text | None = None
    pay: Text | None = None
    also: tuple[Text, ...] = ()

    @property
    def agreed(self) -> tuple[tuple[str, Written], ...]:
        """Terms kept as written, with their words."""
        kept = (("term", self.term), ("payment", self.payment), ("freight", self.freight))
        return tuple((word, text) for word, text in kept if text)
