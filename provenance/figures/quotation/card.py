"""The stand card: kind and size, from so much to so much, in so many weeks.

In: the book, its flow, today. Out: rows by kind and structure, for the sizes that the maker's own
finished pieces have. The middle is what such pieces are asked for by area; from and to are as far
from it as low and high hours are from the likely ones, and reach at least the cheapest and the
dearest of those pieces; rounded up as the studio's prices are. So a card never contradicts the
tags it stands among; what full pay comes to is told to the maker alone. A sort of which fewer than
three pieces have told their hours gets no row: what is said in public rests on more than that.
"""

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from provenance.figures.estimate.pool import ENOUGH
from provenance.figures.flow.flow import Flow
from provenance.figures.money.price import area_of
from provenance.figures.quotation.cloth import LIKE
from provenance.figures.quotation.quote import Option, quote
from provenance.figures.quotation.time import histories, is_finished
from provenance.figures.working import (
    Figure,
    extreme,
    given,
    product,
    quotient,
    rounded,
    rounded_up,
    total,
)
from provenance.problems import Said, Slip
from provenance.records.amounts import Size
from provenance.records.book import Book
from provenance.records.commissions import Commission
from provenance.records.pieces import KINDS, Piece
from provenance.records.text import Written

SIZES = 3  # of a kind: the smallest, the middle one and the largest
ALIKE = Fraction(11, 10)  # areas that differ by less are one size


@dataclass(frozen=True, slots=True)
class CardRow:
    """One sort in one size: from and to in money, and the quotation behind it.

    `least` is what the cheapest of the maker's own pieces comes to by area: the card asks from it.
    """

    kind: str
    structure: str
    least: Figure
    low: Figure
    high: Figure
    option: Option


def stand_card(
    book: Book, flow: Flow, today: date, swatches: Mapping[str, str]
) -> tuple[CardRow, ...]:
    """The rows of the card, by kind, small sizes first."""
    rows = []
    known = histories(book, flow, today)
    for pieces in _sorts(book):
        for piece in _sizes(pieces) if _are_enough(pieces, known) else ():
            try:
                option = quote(book, flow, like_piece(piece), today, swatches).options[0]
            except Slip:
                continue  # a piece whose yarn or hours are not told gives no row
            rows.append(_row(book, option, pieces))
    return tuple(rows)


def too_few(book: Book, flow: Flow, today: date) -> tuple[tuple[str, str, int], ...]:
    """The sorts left off the card: kind, structure, how many pieces of it have told their hours."""
    known = histories(book, flow, today)
    return tuple(
        (*_sort(pieces[0]), _count(pieces, known))
        for pieces in _sorts(book)
        if not _are_enough(pieces, known)
    )


def _are_enough(pieces: Sequence[Piece], known: Container[str]) -> bool:
    return _count(pieces, known) >= ENOUGH


def _count(pieces: Sequence[Piece], known: Container[str]) -> int:
    return sum(str(piece.number) in known for piece in pieces)


def like_piece(piece: Piece, sizes: Sequence[Size] = ()) -> Commission:
    """A commission for another of the same, in its own size where none is named."""
    number, own = Written(f"{LIKE}{piece.number}"), (piece.size,) if piece.size else ()
    return Commission.model_construct(number=number, like=piece.number, sizes=tuple(sizes) or own)


def _sorts(book: Book) -> list[list[Piece]]:
    """Finished and priced pieces of one kind and structure, in the order of kinds."""
    sorts: dict[tuple[str, str], list[Piece]] = {}
    for each in book.pieces.values():
        if is_finished(each) and each.kind and each.size and each.price is not None:
            sorts.setdefault(_sort(each), []).append(each)
    return [sorts[each] for each in sorted(sorts, key=lambda sort: KINDS.index(sort[0]))]


def _sort(piece: Piece) -> tuple[str, str]:
    return str(piece.kind), str(piece.structure or "")


def _sizes(pieces: Sequence[Piece]) -> list[Piece]:
    """The smallest, the middle and the largest; nearly equal sizes (`ALIKE`) once."""
    by_size = {each.size.area: each for each in pieces if each.size}
    ordered: list[Piece] = []
    last = Fraction(0)
    for area in sorted(by_size):
        if area > last * ALIKE:
            ordered.append(by_size[area])
            last = area
    if len(ordered) > SIZES:
        return [ordered[0], ordered[len(ordered) // 2], ordered[-1]]
    return ordered


def _row(book: Book, option: Option, pieces: Sequence[Piece]) -> CardRow:
    money = str(book.studio.currency)
    area = given(Said("step.area"), option.size.area, "cm²")
    middle = product(Said("step.asked_for_size"), area, _per_cm2(pieces, money), unit=money)
    own = [product(Said("step.as_priced", piece=each.number), area, _per_cm2([each], money),
                   unit=money) for each in pieces]  # fmt: skip
    likely = given(Said("step.likely_hours"), option.hours.likely, "h")

    def end(what: Said, how: str, point: str) -> Figure:
        hours = given(Said(f"step.{point}_hours"), getattr(option.hours, point), "h")
        times = quotient(Said("step.times"), hours, likely)
        reached = product(Said(f"step.at_{point}"), middle, times, unit=money)
        return _up(book, extreme(what, how, [reached, *own]))

    low, high = end(Said("step.least"), "least", "low"), end(Said("step.most"), "most", "high")
    return CardRow(*_sort(pieces[0]), extreme(Said("step.least"), "least", own), low, high, option)


def _per_cm2(pieces: Sequence[Piece], money: str) -> Figure:
    """What pieces of a kind are asked for, by area: all their prices by all their areas."""
    prices = [
        given(Said("step.price_of", piece=each.number), each.price, money)
        for each in pieces
        if each.price is not None
    ]
    areas = [area for piece in pieces if (area := area_of(piece)) is not None]
    whole, all_areas = Said("step.prices"), total(Said("step.areas"), areas)
    return quotient(Said("step.asked_per_cm2"), total(whole, prices, money), all_areas, unit=money)


def _up(book: Book, exact: Figure) -> Figure:
    step = book.studio.prices.round_up_to
    return rounded_up(exact, step) if step else rounded(exact)
