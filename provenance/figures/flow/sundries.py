"""Sundries in the flow: what pieces take of them, and each as a node.

In: the book, a piece. Out: amounts by name, what every finished piece takes included; nodes with
their cost, counted, measured or weighed.
"""

from collections.abc import Iterable
from fractions import Fraction

from provenance.figures.flow.flow import HOLDS, Key, Load, Node, Workings, in_all
from provenance.figures.working import Figure, given, product, quotient
from provenance.problems import Said
from provenance.records.book import Book
from provenance.records.lots import Sundry
from provenance.records.pieces import Piece
from provenance.records.quantities import Quantity
from provenance.records.text import Written


def sundries_of(book: Book, piece: Piece) -> dict[Written, Quantity]:
    """The sundries of a piece: its own, and what every finished one of it takes."""
    everyone = book.studio.every_piece_takes if piece.state != "in progress" else {}
    for_each = {
        name: type(use)(use * piece.made, use.place, use.written) for name, use in everyone.items()
    }
    return {**for_each, **piece.sundries}


def sundry_node(book: Book, sundry: Sundry, used: Iterable[Fraction]) -> Node:
    """A sundry: counted at a price each, or a length or weight at a price for the whole."""
    key, name, unit = Key("sundry", str(sundry.name)), sundry.name, sundry.unit
    holds, money, workings = sundry.amount or None, Fraction(sundry.cost or 0), Workings()
    if holds:
        workings[HOLDS] = in_all(name, holds, unit, holds.place)
    if sundry.each is not None:
        place = sundry.number.place if sundry.number else None
        count = holds or sum(used, Fraction(0))
        number = given(Said("flow.how_many", what=name), count, "", place)
        each = each_of(sundry, str(book.studio.currency))
        workings[key] = product(Said("flow.cost_of", what=name), number, each, unit=each.unit)
        money = workings[key].value
    paid = sundry.cost.place if sundry.cost is not None else name.place
    return Node(key, name.place, Load({}, {key: money}), holds, unit, paid, workings)


def each_of(sundry: Sundry, money: str) -> Figure:
    """What one, a centimetre or a gram of a sundry cost; nothing where no record tells it."""
    what, name = Said("flow.each", what=sundry.name), sundry.name
    if sundry.each is not None:
        return given(what, sundry.each, money, sundry.each.place)
    if not sundry.amount:
        return given(what, 0, money)
    place = sundry.cost.place if sundry.cost is not None else None
    paid = given(Said("flow.cost_of", what=name), sundry.cost or 0, money, place)
    return quotient(what, paid, in_all(name, sundry.amount, sundry.unit, sundry.amount.place))
