"""When it could be ready: finished pieces, what waits before it, weeks, the order of work.

In: the book, its flow, a day. Out: finished pieces as `History`, the open commissions with the
hours still in them, whole weeks from the hours of a working week, and which weeks spinning, dyeing
and weaving would fall into. An accepted commission waits until its piece is finished, by its
likely hours less what has been worked on it already.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from math import ceil, floor

from provenance.figures.estimate.hours import HoursEstimate, estimate
from provenance.figures.estimate.pool import History
from provenance.figures.flow.flow import Flow, Key
from provenance.figures.quotation.cloth import sort_of
from provenance.figures.quotation.needs import SPINNING
from provenance.figures.working import Figure, difference, given, quotient, rounded_up, total
from provenance.problems import Said
from provenance.records.amounts import Size
from provenance.records.book import Book
from provenance.records.commissions import Commission
from provenance.records.days import by_then
from provenance.records.pieces import Piece

# The parts of the work, in order, with their stages; what stands in none is work at the loom.
PARTS = {
    "drawing": ("design", "sampling"),
    "spinning": SPINNING,
    "dyeing": ("gathering", "extracting", "mordanting", "dyeing", "rinsing"),
    "loom": ("warping", "dressing", "weaving", "knotting", "fringe", "fulling", "finishing"),
}


@dataclass(frozen=True, slots=True)
class Turn:
    """One part of the work: its hours, and the first and last week it falls into."""

    part: str  # drawing, spinning, dyeing, loom
    hours: Fraction
    first: int
    last: int


def histories(book: Book, flow: Flow, until: date | None = None) -> dict[str, History]:
    """The finished pieces with a size and hours, by number; those finished by a day.

    Their turns are the order of the days they were finished on, those of no day first, by number.
    """
    found = {}
    in_order = sorted(book.pieces.items(), key=lambda each: _done_by(each[1]))
    for turn, (number, piece) in enumerate(in_order):
        hours = flow.loads[Key("piece", number)].hours
        is_later = until is not None and piece.finished is not None and piece.finished > until
        if is_finished(piece) and piece.size and any(hours.values()) and not is_later:
            found[number] = History(
                str(piece.kind or ""), str(piece.structure or ""), piece.size.area,
                weight_of(piece), hours, turn, str(number),
            )  # fmt: skip
    return found


def _done_by(piece: Piece) -> date:
    return by_then(piece.finish) if piece.finish else date.min


def is_finished(piece: Piece) -> bool:
    """Off the loom and done: not in progress, and a commission only with the day it was done."""
    if piece.state in ("in progress", "withdrawn"):
        return False
    return piece.finished is not None or piece.state != "commission"


def weight_of(piece: Piece) -> Fraction | None:
    """The weight of a piece, else that of its yarns."""
    if piece.weight is not None:
        return Fraction(piece.weight)
    return sum((Fraction(each.weight) for each in piece.yarns), Fraction(0)) or None


def waiting(book: Book, flow: Flow, but: str, today: date) -> dict[str, Figure]:
    """What is accepted and not finished, but for one commission: number -> hours still in it."""
    known = list(histories(book, flow, today).values())
    return {
        number: hours
        for number, commission in book.commissions.items()
        if number != but and (hours := _hours_left(book, flow, commission, known)) is not None
    }


def _hours_left(
    book: Book, flow: Flow, commission: Commission, known: Sequence[History]
) -> Figure | None:
    number = str((commission.accepted and commission.accepted.piece) or "")
    piece = book.pieces.get(number)
    is_agreed = commission.accepted is not None or commission.status == "accepted"
    is_done = commission.status == "finished" or (piece is not None and is_finished(piece))
    likely = _likely(book, commission, known) if is_agreed and not is_done else None
    if likely is None:
        return None
    load = flow.loads.get(Key("piece", number))
    spent = sum(load.hours.values(), Fraction(0)) if load else Fraction(0)
    if not spent:
        return likely
    worked = given(Said("step.worked_on", piece=number), min(spent, likely.value), "h")
    return difference(Said("step.hours_left", commission=commission.number), likely, worked)


def _likely(book: Book, commission: Commission, known: Sequence[History]) -> Figure | None:
    """The hours quoted when it was agreed, else worked out now, else the maker's own guess."""
    agreed, what = commission.accepted, Said("step.likely_of", commission=commission.number)
    if agreed and agreed.hours:
        return given(what, agreed.hours.likely, "h")
    size = agreed_size(commission)
    if size is not None and known:
        found = estimate_like(book, commission, size, known)
        return given(what, found.likely, "h", size.place)
    return given(what, commission.hours, "h") if commission.hours is not None else None


def agreed_size(commission: Commission) -> Size | None:
    """The size agreed, else the first that was asked for."""
    agreed = commission.accepted
    return (agreed and agreed.size) or next(iter(commission.sizes), None)


def estimate_like(
    book: Book, commission: Commission, size: Size, known: Sequence[History]
) -> HoursEstimate:
    """Hours of a commission in one size, from finished pieces; Slip where there are none."""
    number = str(commission.like or "")
    like = book.pieces.get(number)
    grams = scaled_weight(like, size.area)
    return estimate(known, *sort_of(commission, like), size.area, grams, number)


def scaled_weight(like: Piece | None, area: Fraction) -> Fraction | None:
    """The weight of a piece of another size, in proportion to its area."""
    if like is None or like.size is None or (grams := weight_of(like)) is None:
        return None
    return grams * area / like.size.area


def weeks_for(book: Book, queue: Mapping[str, Figure], hours: Fraction) -> Figure | None:
    """Whole working weeks until it is done; None where the studio does not tell its week."""
    week = book.studio.week
    if not week:
        return None
    own = given(Said("step.likely_hours"), hours, "h")
    whole = total(Said("step.hours_before"), [*queue.values(), own], "h")
    each = given(Said("step.hours_a_week"), week, "h")
    return rounded_up(quotient(Said("step.weeks"), whole, each, unit="weeks"), 1)


def turns(book: Book, queue: Mapping[str, Figure], hours: HoursEstimate) -> tuple[Turn, ...]:
    """Which weeks drawing, spinning, dyeing and the loom fall into, counted from now."""
    week = book.studio.week
    if not week:
        return ()
    done, found = sum((each.value for each in queue.values()), Fraction(0)), []
    for part in PARTS:
        rows = [each for stage, each in hours.stages.items() if _part_of(stage) == part]
        if rows:
            spent, first = sum(rows, Fraction(0)), floor(done / week) + 1
            done += spent
            found.append(Turn(part, spent, first, max(first, ceil(done / week))))
    return tuple(found)


def _part_of(stage: str) -> str:
    return next((part for part, stages in PARTS.items() if stage in stages), "loom")


def order_of(stage: str) -> tuple[int, int]:
    """Where a stage stands in the making, for sorting; one we do not know beside fulling."""
    part = _part_of(stage)
    known = stage if stage in PARTS[part] else "fulling"
    return list(PARTS).index(part), PARTS[part].index(known)
