"""An outlet as others may know it: where work can be seen and when, what its tags and lists ask.

In: the view and an outlet. Out: `PublicOutlet`: no fee, no commission, no terms, no contact.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from provenance.public.names import capital, outlet_title
from provenance.public.shapes import ShowRules
from provenance.public.view import View
from provenance.records.lots import Outlet
from provenance.records.printing import tag_field

PHASES = ("display", "sales", "set-up", "day", "take-down")


@dataclass(frozen=True, slots=True)
class PublicOutlet:
    """One outlet; `days` are its dates in short, `dates` the same written out.

    `pay` is how a buyer pays there; `packing` is what to take along, by phase: its own list, else
    the usual one. `has_stub`: its tags have a stub to tear off, at a fair unless told otherwise.
    """

    name: str
    title: str
    kind: str
    place: str
    first: date | None
    last: date | None
    days: str
    dates: str
    is_shown: bool
    tag_kind: str
    tag_fields: tuple[str, ...]
    has_stub: bool
    pay: str
    packing: tuple[tuple[str, tuple[str, ...]], ...]
    rules: ShowRules

    @property
    def where_and_when(self) -> str:
        """Place and days in one line."""
        return ", ".join(part for part in (self.place, self.days) if part)


def public_outlet(view: View, outlet: Outlet) -> PublicOutlet:
    """What others may know of an outlet."""
    span, phrases = outlet.dates, view.phrases
    pay = str(outlet.terms.pay or "")
    return PublicOutlet(
        name=str(outlet.name),
        title=outlet_title(outlet),
        kind=str(outlet.kind),
        place=str(outlet.place or ""),
        first=span.first if span else None,
        last=span.last if span else None,
        days=phrases.days(span.first, span.last) if span else "",
        dates=" – ".join(map(phrases.day, dict.fromkeys((span.first, span.last)))) if span else "",
        is_shown=bool(outlet.shown_on_site),
        tag_kind=outlet.tag_kind,
        tag_fields=tuple(dict.fromkeys(tag_field(str(word)) for word in outlet.tag_fields)),
        has_stub=_has_stub(view, outlet),
        pay=pay or phrases.say("sheet.pay_card" if outlet.card_fee else "sheet.pay_cash"),
        packing=tuple(_packing(view, outlet.packing)),
        rules=outlet.rules,
    )


def _has_stub(view: View, outlet: Outlet) -> bool:
    asked = view.studio.file.tags.stub
    return bool(asked) if asked is not None else str(outlet.kind) == "fair"


def _packing(view: View, own: Mapping[Any, Sequence[Any]]) -> list[tuple[str, tuple[str, ...]]]:
    words = view.phrases.words
    if own:
        return [
            (words.get(f"packing.{phase}", capital(str(phase))), tuple(map(str, items)))
            for phase, items in own.items()
        ]
    usual = ((words[f"packing.{phase}"], words[f"packing.{phase}_items"]) for phase in PHASES)
    return [(name, tuple(item.strip() for item in items.split(","))) for name, items in usual]
