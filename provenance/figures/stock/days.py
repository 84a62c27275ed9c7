"""What had come, been used and gone by a day: the material flow as it stood then.

In: the book, its whole flow and a day. Out: the flow of that day, and whose day is not noted.
Dates decide: a lot is there from the day it was bought or shorn, yarn from the day it was spun, a
dyed lot from its bath, a piece from the first day in its log (else from the day it was finished).
A day that is not noted counts as the day the last of its materials came; materials without a day
count as there from the start. A use falls on the day both the lot and what it went into were
there.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date

from provenance.figures.flow.flow import HOLDS, WHICH_YARN, Draw, Flow, Key, Node, work_out
from provenance.figures.flow.sundries import sundry_node
from provenance.records.book import Book
from provenance.records.pieces import Piece

START = date.min
GONE = ("sold", "withdrawn")


@dataclass(slots=True)
class Days:
    """Days of nodes; worked out once and remembered."""

    book: Book
    flow: Flow
    _came: dict[Key, date] = field(default_factory=dict)

    def came(self, key: Key) -> date:
        """The day a node came to be; START where nobody knows."""
        if key not in self._came:
            sources = (self.came(draw.source) for draw in self.flow.into.get(key, ()))
            self._came[key] = self.noted(key) or max(sources, default=START)
        return self._came[key]

    def noted(self, key: Key) -> date | None:
        """The day the record gives; None where it gives none; what is lost was always lost."""
        book = self.book
        if key.kind in ("piece", "in place"):
            return started(book.pieces[key.name.partition(WHICH_YARN)[0]])
        if key.kind == "bath":
            return book.baths[key.name].date
        if key.kind == "dyed":
            dyed = book.dyed.get(key.name)
            return dyed.bath.date if dyed else None
        shelves = {
            "fleece": book.fleece, "dyestuff": book.dyestuffs, "yarn": book.yarns,
            "mordant": book.mordants, "sundry": book.sundries,
        }  # fmt: skip
        lot = shelves.get(key.kind, {}).get(key.name)
        if lot is None or lot.opening:
            return START
        made = {"fleece": "shorn", "yarn": "spun"}.get(key.kind, "bought")
        said = lot.bought or getattr(lot, made)
        return first_day(said) if said else None


def first_day(said: str) -> date:
    """The first day a date may mean: 2025 is 1 January 2025, 2025-06 is 1 June."""
    return date(*[*map(int, said.split("-")), 1, 1][:3])


def started(piece: Piece) -> date | None:
    """The first day in the log of a piece, else the day it was finished."""
    spent = [*piece.hours.values(), *(each for use in piece.yarns for each in use.hours.values())]
    logged = (line.on for each in spent for line in each.log)
    return min(filter(None, [*logged, piece.finished]), default=None)


def finished(days: Days, piece: Piece) -> date | None:
    """The day a piece was finished; None while it is in progress."""
    if piece.state == "in progress" or (piece.state == "commission" and not piece.finished):
        return None
    return piece.finished or days.came(Key("piece", str(piece.number)))


def gone(piece: Piece) -> date | None:
    """The day a piece left: its sale, START when nobody noted it; None while it is still ours."""
    if piece.sale is not None:
        return piece.sale.on
    return START if piece.state in GONE else None


def flow_on(days: Days, day: date) -> Flow:
    """The material flow as it stood in the evening of a day."""
    flow = days.flow
    draws = [
        draw
        for drawn in flow.out.values()
        for draw in drawn
        if max(days.came(draw.source), days.came(draw.target)) <= day
    ]
    return work_out({node.key: node for node in _nodes(days, day, draws)}, draws)


def _nodes(days: Days, day: date, draws: list[Draw]) -> Iterator[Node]:
    """The nodes of a day; each keeps the whole its draws are shares of, now and later."""
    for key, node in days.flow.nodes.items():
        if days.came(key) > day:
            continue
        if key.kind == "sundry" and node.holds is None:
            # A price each and no number: nothing tells what lies on the shelf.
            used = (draw.amount for draw in draws if draw.source == key)
            yield sundry_node(days.book, days.book.sundries[key.name], used)
        elif key.kind in ("piece", "lost") or node.holds == days.flow.whole(key):
            yield node
        else:
            workings = {name: each for name, each in node.workings.items() if name != HOLDS}
            yield replace(node, holds=days.flow.whole(key), workings=workings)


def without_a_day(days: Days) -> tuple[Key, ...]:
    """Lots that came in, and pieces, whose day is not noted; only what cost anything."""
    kinds = ("fleece", "yarn", "dyestuff", "mordant", "sundry", "piece")
    return tuple(
        node.key
        for node in days.flow.nodes.values()
        if node.key.kind in kinds and days.noted(node.key) is None
        if node.key.kind == "piece" or any(node.own.money.values())
        if not (node.key.kind == "sundry" and node.holds is None)
        if not (node.key.kind == "piece" and days.book.pieces[node.key.name].earlier)
    )
