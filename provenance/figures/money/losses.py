"""What was lost: of lots, in baths, and pieces that are no more.

In: the book, its flow, the days of a year. Out: a `Loss` for each, with what it had cost. A bath
has a day, so that samples and tangles out of it belong to a year; what is noted as `lost` of a lot
has none, and neither has a piece that was withdrawn without a day in its history: these are told
as they stand, apart.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from provenance.figures.flow.carried import carried_money
from provenance.figures.flow.flow import LOST, Draw, Flow, Key
from provenance.figures.working import Figure, given, product, rounded, total
from provenance.problems import Said
from provenance.records.book import Book
from provenance.records.days import as_day
from provenance.records.pieces import Piece


@dataclass(frozen=True, slots=True)
class Loss:
    """Something lost: `amount` in `unit` of a lot (None of a piece); `on` is None where no day is
    noted."""

    key: Key
    amount: Fraction | None
    unit: str
    cost: Figure
    on: date | None


def losses(book: Book, flow: Flow, first: date, last: date) -> tuple[Loss, ...]:
    """Losses from the first to the last day, and those without a day."""
    found = (*_of_lots(book, flow), *_of_pieces(book, flow))
    return tuple(each for each in found if each.on is None or first <= each.on <= last)


def _of_lots(book: Book, flow: Flow) -> Iterator[Loss]:
    money = str(book.studio.currency)
    for draw in flow.into.get(LOST, ()):
        key, whole = draw.source, flow.whole(draw.source)
        if key.kind == "piece" or not whole or not draw.amount:
            continue
        carried = [carried_money(flow, key, each, money) for each in flow.loads[key].money]
        paid = total(Said("step.paid_for", what=key.name), carried, money)
        part = given(Said("step.part"), draw.amount / whole)
        cost = rounded(product(key.name, paid, part, unit=money))
        yield Loss(key, draw.amount, flow.nodes[key].unit, cost, _day_of(book, draw))


def _day_of(book: Book, draw: Draw) -> date | None:
    """The day of the bath that something was lost in; what the lot itself notes has none."""
    dyed = book.dyed.get(draw.source.name) if draw.source.kind == "dyed" else None
    is_of_bath = dyed is not None and draw.place == dyed.entry.weight.place
    return dyed.bath.date if dyed and is_of_bath else None


def _of_pieces(book: Book, flow: Flow) -> Iterator[Loss]:
    money = str(book.studio.currency)
    for number, piece in book.pieces.items():
        if piece.state == "withdrawn" and not piece.sold:
            key = Key("piece", str(number))
            lines = [
                rounded(carried_money(flow, key, each, money)) for each in flow.loads[key].money
            ]
            cost = total(Said("step.materials_of", what=key.name), lines, money)
            yield Loss(key, None, "", cost, _left(piece))


def _left(piece: Piece) -> date | None:
    """The last day in its history: that of its end."""
    return max(filter(None, (as_day(each.on) for each in piece.history)), default=None)
