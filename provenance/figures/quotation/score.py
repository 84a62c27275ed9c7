"""Quoted against actual: what was said when it was agreed, and what it then took.

In: the book, its flow, accepted commissions. Out: an `Outcome` for each whose piece is finished,
and the score of all of them. The hours quoted are those noted when it was accepted; a record that
lacks them is worked out again from the pieces that were finished by that day.
"""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from provenance.figures.estimate.hours import HoursEstimate
from provenance.figures.estimate.score import Score, score
from provenance.figures.flow.flow import Flow, Key
from provenance.figures.money.cost import CostSheet, cost_sheet
from provenance.figures.money.price import hourly_return
from provenance.figures.money.terms import tax_within
from provenance.figures.quotation.time import agreed_size, estimate_like, histories, is_finished
from provenance.figures.working import Figure, difference, given
from provenance.problems import Said, Slip
from provenance.records.book import Book
from provenance.records.commissions import Accepted, Commission, HoursQuoted
from provenance.records.pieces import Piece


@dataclass(frozen=True, slots=True)
class Outcome:
    """A finished commission: hours quoted and taken, its cost, its price, what an hour brought."""

    number: str
    piece: Piece
    on: date
    likely: Fraction
    low: Fraction
    high: Fraction
    taken: Figure
    sheet: CostSheet
    price: Figure
    earned: Figure | None

    @property
    def is_inside(self) -> bool:
        """Whether it took what was quoted: from low to high."""
        return self.low <= self.taken.value <= self.high


def outcome_of(book: Book, flow: Flow, commission: Commission) -> Outcome | None:
    """Quoted against actual; None while nothing was agreed, or the piece is not finished."""
    agreed = commission.accepted
    piece = book.pieces.get(str(agreed.piece)) if agreed and agreed.piece else None
    if agreed is None or piece is None or not is_finished(piece):
        return None
    quoted = _quoted(book, flow, commission, agreed)
    if quoted is None or not any(flow.loads[Key("piece", str(piece.number))].hours.values()):
        return None
    sheet = cost_sheet(book, flow, piece)
    own = agreed.price
    price = given(Said("step.price_agreed"), own, sheet.currency) if own else sheet.price
    tax = tax_within(price, book.studio.prices.tax, sheet.minor)
    net = difference(Said("step.net"), price, tax) if tax.value else price
    return Outcome(
        str(commission.number), piece, agreed.on, *quoted, sheet.hours, sheet, price,
        hourly_return(sheet, net),
    )  # fmt: skip


def _quoted(
    book: Book, flow: Flow, commission: Commission, agreed: Accepted
) -> tuple[Fraction, Fraction, Fraction] | None:
    """Likely, low and high hours as they were quoted."""
    found: HoursQuoted | HoursEstimate | None = agreed.hours
    if found is None and (size := agreed_size(commission)) is not None:
        known = histories(book, flow, agreed.on)
        known.pop(str(agreed.piece), None)
        try:
            found = estimate_like(book, commission, size, list(known.values()))
        except Slip:
            return None
    return (found.likely, found.low, found.high) if found else None


def quoted_score(book: Book, flow: Flow) -> Score:
    """How many finished commissions took hours within what was quoted."""
    found = (outcome_of(book, flow, each) for each in book.commissions.values())
    return score((each.low, each.high, each.taken.value) for each in found if each)
