"""Sundries in the flow: what pieces take of them, and each as a node.

In: the book, a piece. Out: amounts by name, what every finished piece takes included; nodes with
their cost, counted, measured or weighed.
"""

from collections.abc import Iterable
from fractions import Fraction

from provenance.figures.flow.flow import HOLDS, Key, Load, Node, Workings, in_all
from provenance.figures.flow.own_workings import sundry_working
from provenance.records.book import Book
from provenance.records.lots import Sundry
from provenance.records.pieces import Piece
from provenance.records.quantities import Quantity
from provenance.records.text import Written


def sundries_used(book: Book) -> dict[str, list[Fraction]]:
    """What was used of each sundry, by name."""
    used: dict[str, list[Fraction]] = {}
    for piece in book.pieces.values():
        for name, use in sundries_of(book, piece).items():
            used.setdefault(str(name), []).append(use)
    return used


def sundries_of(book: Book, piece: Piece) -> dict[Written, Quantity]:
    """The sundries of a piece: its own, and what every finished piece takes."""
    everyone = book.studio.every_piece_takes if piece.state != "in progress" else {}
    return {**everyone, **piece.sundries}


def sundry_node(book: Book, sundry: Sundry, used: Iterable[Fraction]) -> Node:
    """A sundry: counted at a price each, or a length or weight at a price for the whole."""
    key, place, unit = Key("sundry", str(sundry.name)), sundry.name.place, sundry.unit
    measure, workings = sundry.amount, Workings()
    amount = Fraction(measure) if measure else None
    count = amount if amount is not None else sum(used, Fraction(0))
    if measure:
        workings[HOLDS] = in_all(sundry.name, measure, unit, measure.place)
    counted = sundry_working(sundry, count, str(book.studio.currency))
    money = counted.value if counted else Fraction(sundry.cost or 0)
    if counted:
        workings[key] = counted
    paid = sundry.cost.place if sundry.cost is not None else place
    return Node(key, place, Load({}, {key: money}), amount, unit, paid, workings)
