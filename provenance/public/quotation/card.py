"""What the stand card tells: kind and size, from how much, in how many weeks; no hour, no cost.

In: the view and the rows of the card. Out: `Card`, ready words, and the colours of the dye book.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.flow.makeup import colour_of
from provenance.figures.quotation.card import CardRow
from provenance.figures.working import half_up
from provenance.public.edge import Stripe, stripes_of
from provenance.public.view import View

_NO_COLOUR = "#5b4a3a"
_ROUND, _ROUND_BEYOND = ((20, 1), (100, 5), (500, 10), (2000, 50)), 100  # below so much: its step


@dataclass(frozen=True, slots=True)
class CardLine:
    """One size: from how much, in round money; weeks."""

    size: str
    price: str
    weeks: str


@dataclass(frozen=True, slots=True)
class Card:
    """All that stands on the card: sizes by sort of work; its edge has the colours of the dye book,
    in its order."""

    kinds: Mapping[str, tuple[CardLine, ...]]
    stripes: tuple[Stripe, ...]


def card_of(view: View, rows: Sequence[CardRow]) -> Card:
    """The words of the card, by kind and structure."""
    found: dict[str, list[CardLine]] = {}
    for row in rows:
        structure = f", {row.structure}" if row.structure else ""
        kind = view.phrases.say(f"kind.{row.kind}") + structure
        found.setdefault(kind, []).append(_line(view, row))
    return Card({kind: tuple(lines) for kind, lines in found.items()}, _stripes(view))


def _line(view: View, row: CardRow) -> CardLine:
    phrases, its, weeks = view.phrases, row.option.size, row.option.weeks
    price = phrases.say("stand_card.from", price=phrases.money(in_round_money(row.least.value)))
    ready = phrases.say("stand_card.weeks", number=int(half_up(weeks.value, 0))) if weeks else ""
    sides = (phrases.number(side, 1) for side in (its.height, its.width))
    size = phrases.size_in(its) if phrases.is_american else f"{' × '.join(sides)} cm"
    return CardLine(size, price, ready)


def in_round_money(price: Fraction) -> Fraction:
    """Down to a number that is said across a table: fives, tens, fifties, hundreds.

    Down, so that the piece whose price it rests on is not cheaper than the card says; a price that
    would come to nothing stays as it is.
    """
    step = next((step for most, step in _ROUND if price < most), _ROUND_BEYOND)
    return Fraction(price // step * step) or price


def _stripes(view: View) -> tuple[Stripe, ...]:
    book, swatches = view.book, view.studio.swatches
    lots = [str(entry.becomes) for bath in book.baths.values() for entry in bath.dyed]
    found = dict.fromkeys(colour for lot in lots if (colour := colour_of(book, lot, swatches)))
    return stripes_of((colour, Fraction(1)) for colour in found or (_NO_COLOUR,))
