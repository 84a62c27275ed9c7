"""Sundries in the flow: what pieces take of them, and each as a node.

In: the book, a piece. Out: amounts by name, what every finished piece takes included; nodes with
their cost, counted, measured or weighed.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from provenance.figures.flow.flow import HOLDS, Draw, Key, Load, Node, Workings
from provenance.figures.flow.own_workings import sundry_working
from provenance.figures.working import given
from provenance.records.amounts import SundryUse
from provenance.records.book import Book
from provenance.records.lots import Sundry
from provenance.records.pieces import Piece
from provenance.records.text import Written

Parts = tuple[list[Node], list[Draw]]


def sundries_used(book: Book) -> dict[str, list[SundryUse]]:
    """Every use of each sundry, by name."""
    used: dict[str, list[SundryUse]] = {}
    for piece in book.pieces.values():
        for name, use in sundries_of(book, piece).items():
            used.setdefault(str(name), []).append(use)
    return used


def sundries_of(book: Book, piece: Piece) -> dict[Written, SundryUse]:
    """The sundries of a piece: its own, and what every finished piece takes."""
    everyone = book.studio.every_piece_takes if piece.state != "in progress" else {}
    return {**everyone, **piece.sundries}


def sundry_node(book: Book, sundry: Sundry, used: Iterable[SundryUse]) -> Parts:
    """A sundry: counted at a price each, or a length or weight at a price for the whole."""
    key, place = Key("sundry", str(sundry.name)), sundry.name.place
    measure, unit = sundry.amount, sundry.unit
    amount = Fraction(measure) if measure else None
    count = amount if amount is not None else sum((use.amount for use in used), Fraction(0))
    workings: Workings = {}
    if measure:
        workings[HOLDS] = given(f"{sundry.name} in all", measure, unit, measure.place)
    counted = sundry_working(sundry, count, str(book.studio.currency))
    money = counted.value if counted else Fraction(sundry.cost or 0)
    if counted:
        workings[key] = counted
    paid = sundry.cost.place if sundry.cost is not None else place
    return [Node(key, place, Load({}, {key: money}), amount, unit, paid, workings)], []
