"""The terms an outlet and the maker agreed on: payment, discounts, insurance, loss.

In: the words under `terms:` of an outlet. Out: frozen `Terms`; what carries a sum (a discount, the
payment for a loss) is read, the rest is kept as written. Who bears a discount must be written down
(code.visualarts.net.au, selling on-line); a lost piece is paid at its price less the commission,
or as a guild's rules have it (cwsg.missouri.org, older text: above 200 half the price).
"""

import re
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from typing import Annotated, Any

from pydantic import ConfigDict, model_validator

from provenance.problems import Said, Slip
from provenance.records import quantities as q
from provenance.records.fields import Reads, Text
from provenance.records.reading import Record, known_words
from provenance.records.text import Fields, Written

ALMOST = 0.8


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


def _discount(text: Written, habits: q.Habits) -> Discount:
    found = re.search(r"([0-9]+(?:\.[0-9]+)?) ?%", text)
    if not found:
        return Discount(Fraction(0), "", str(text))
    share = q.PartShare.read(found[0], habits)
    borne = [who for who, words in _BORNE.items() if re.search(rf"\b({words})\b", text.lower())]
    if len(borne) != 1:
        raise Slip(Said("record.who_bears", text=text), Said("record.write_bearer", share=found[0]))
    return Discount(share, borne[0], str(text))


def _loss(text: Written, habits: q.Habits) -> Loss:
    said = " ".join(text.lower().split())
    found = re.fullmatch(
        r"(?:price less commission(?: under [0-9.]+)?[,;]? ?(?:and )?)?"
        r"(half|[0-9.]+ ?%)(?: of)? the price(?: (over|above|from) (.+))?",
        said,
    )
    if said == "price less commission":
        return Loss(written=str(text))
    if not found:
        raise Slip(Said("record.loss", text=text), Said("record.write_loss"))
    share = Fraction(1, 2) if found[1] == "half" else q.PartShare.read(found[1], habits)
    limit = q.Money.read(found[3], habits) if found[3] else Fraction(0)
    return Loss(share, limit, found[2] in (None, "from"), str(text))


class Terms(Record):
    """The terms of an outlet; what is not said here is left open on the sheet, to be filled in.

    Outlets differ in what they settle, so that words beyond these are kept as they are written.
    """

    model_config = ConfigDict(extra="allow")

    term: Text | None = None
    payment: Text | None = None
    discount: Annotated[Discount, Reads(_discount)] | None = None
    insured_from: Text | None = None
    loss: Annotated[Loss, Reads(_loss)] = Loss()
    freight: Text | None = None
    pay: Text | None = None
    also: tuple[Text, ...] = ()

    @model_validator(mode="before")
    @classmethod
    def _not_misspelt(cls, value: Any) -> Any:
        """Own words are welcome; one that is almost a known word is a slip of the pen."""
        known = known_words(cls)
        for word in value if isinstance(value, Fields) else ():
            if word not in known and (near := get_close_matches(word, known, 1, ALMOST)):
                what, remedy = Said("word.unknown", word=word), Said("problem.near", near=near[0])
                raise Slip(what, remedy, value.word(word).place)
        return value

    @property
    def others(self) -> tuple[tuple[str, str], ...]:
        """Terms in words of the maker's own, kept as written."""
        extra = self.model_extra or {}
        return tuple((str(word), str(text)) for word, text in extra.items())
