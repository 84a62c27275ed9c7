"""The stand card: one A6 page for the table, kind and size, from so much to so much, in weeks.

In: the setting and the rows of the card. Out: the bytes of a PDF. Nothing of hours, cost or pay is
on it; the selvedge is made of the colours in the dye book.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.flow.makeup import colour_of
from provenance.figures.quotation.card import CardRow
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.pdf import render as pdf
from provenance.press.templates import render, source
from provenance.problems import Slip
from provenance.public.edge import Stripe
from provenance.public.setting import Setting

HIGH_MM = 148.0
EDGE_MM = 7.0


@dataclass(frozen=True, slots=True)
class CardLine:
    """One size: from and to, weeks."""

    size: str
    price: str
    weeks: str


@dataclass(frozen=True, slots=True)
class CardKind:
    """One sort of work with its sizes."""

    kind: str
    lines: tuple[CardLine, ...]


def card_pdf(setting: Setting, rows: Sequence[CardRow], *, black: bool = False) -> bytes:
    """The card; Slip when there is nothing to put on it."""
    if not rows:
        raise Slip(
            "no finished piece has all that a card needs",
            "a kind, a size, hours and a price, of one finished piece at least",
        )
    phrases, studio = setting.phrases, setting.book.studio
    say = phrases.say
    names = ("name", "lead", "size_heading", "price_heading", "weeks_heading", "foot")
    context = {
        "language": phrases.language,
        "studio": studio,
        "say": {name: say(f"stand_card.{name}") for name in names},
        "kinds": card_kinds(setting, rows),
        "day": say("stand_card.day", studio=studio.studio, day=phrases.day(setting.today)),
        "size_class": "small" if len(rows) > 13 else "",
    }
    html = render("quotation/card.html", context, setting.templates)
    edge = bar_svg(_stripes(setting), EDGE_MM, HIGH_MM, upright=True, black=black)
    assets = {
        "card.css": source("quotation/card.css", setting.templates),
        "selvedge.svg": edge.encode(),
    }
    identifier = hashlib.sha256(html.encode()).digest()
    return pdf.render_pdf(html, assets, archival=True, identifier=identifier, created=setting.today)


def card_kinds(setting: Setting, rows: Sequence[CardRow]) -> tuple[CardKind, ...]:
    """The words of the card, by kind and structure."""
    phrases = setting.phrases
    found: dict[str, list[CardLine]] = {}
    for row in rows:
        kind = phrases.say(f"kind.{row.kind}")
        structure = f", {row.structure}" if row.structure else ""
        low, high = (phrases.money(end.value) for end in (row.low, row.high))
        price = low if low == high else phrases.say("stand_card.from_to", low=low, high=high)
        number = phrases.number(row.weeks.value, 0) if row.weeks else ""
        weeks = phrases.say("stand_card.weeks", number=number) if number else ""
        size = phrases.size_in(row.size) if phrases.is_american else _metric(setting, row)
        found.setdefault(f"{kind}{structure}", []).append(CardLine(size, price, weeks))
    return tuple(CardKind(kind, tuple(lines)) for kind, lines in found.items())


def _metric(setting: Setting, row: CardRow) -> str:
    sides = (row.size.height, row.size.width)
    return " × ".join(setting.phrases.number(side, 1) for side in sides) + " cm"


def _stripes(setting: Setting) -> tuple[Stripe, ...]:
    """The colours of the dye book in its order, each as wide as the next."""
    book = setting.book
    lots = [str(entry.becomes) for bath in book.baths.values() for entry in bath.dyed]
    colours = [colour for lot in lots if (colour := colour_of(book, lot, setting.swatches))]
    colours = list(dict.fromkeys(colours)) or ["#5b4a3a"]
    share = Fraction(1, len(colours))
    return tuple(
        Stripe(colour, share * turn, share * (turn + 1), "") for turn, colour in enumerate(colours)
    )
