"""What a fair must bring, what its pieces would bring there, and what it brought.

In: the outlet, cost sheets of the pieces taken along, pieces sold there. Out: fees, the number of
pieces to sell before it pays, each piece's net and hourly return there, the result of a sale, all
with their working. Break-even: fees / (average x (1 - fee) - materials), rounded up; figures for
the maker alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from provenance.figures.flow.flow import Flow
from provenance.figures.money.cost import CostSheet, cost_sheet
from provenance.figures.money.price import OutletReading, break_even, outlet_reading, tax_within
from provenance.figures.working import Figure, difference, given, quotient, total
from provenance.records.book import Book
from provenance.records.lots import Outlet
from provenance.records.pieces import Piece


@dataclass(frozen=True, slots=True)
class Prospect:
    """A fair with pieces: `to_sell` is None when no number of pieces would pay for it."""

    fees: tuple[Figure, ...]
    fixed: Figure
    average: Figure
    kept: Figure
    materials: Figure
    to_sell: int | None
    readings: tuple[OutletReading, ...]


@dataclass(frozen=True, slots=True)
class Result:
    """What a lot of sales brings: after the outlet's share, and after its fees and the cost.

    `hourly` is what is left for each hands-on hour; None when no hours are noted.
    """

    count: int
    taken: Figure
    net: Figure
    after_fees: Figure
    hours: Figure
    hourly: Figure | None


def prospect(outlet: Outlet, sheets: Sequence[CostSheet], book: Book) -> Prospect:
    """Break-even and returns for the pieces taken along; at least one piece."""
    tax, money = book.studio.prices.tax, str(book.studio.currency)
    number = given("pieces", len(sheets))
    prices = total("prices", [sheet.price for sheet in sheets], money)
    average = quotient("average price", prices, number, unit=money)
    materials = quotient(
        "average materials", total("materials", [each.materials for each in sheets]), number
    )
    # Tax inside a price is never the maker's: like the materials, it is paid on.
    taxes = [tax_within(sheet.price, tax, sheet.minor) for sheet in sheets]
    paid_on = total("materials and tax", [materials, quotient("tax", total("tax", taxes), number)])
    share = given("card fee and commission", Fraction(outlet.card_fee) + outlet.commission)
    fees = fees_of(outlet, money)
    return Prospect(
        fees,
        total("fees", fees, money),
        average,
        difference("kept of the price", given("one", 1), share),
        materials,
        break_even(fees, average, share, paid_on),
        tuple(outlet_reading(sheet, outlet, tax) for sheet in sheets),
    )


def fees_of(outlet: Outlet, money: str) -> tuple[Figure, ...]:
    """What the fair costs before anything is sold."""
    return tuple(given(str(what), fee, money, fee.place) for what, fee in outlet.fees.items())


def result_of(outlet: Outlet, sheets: Sequence[CostSheet], book: Book) -> Result:
    """What these pieces bring if all are sold, or brought: each sheet's price is what was paid."""
    tax, money = book.studio.prices.tax, str(book.studio.currency)
    readings = [outlet_reading(sheet, outlet, tax) for sheet in sheets]
    net = total("net", [each.net for each in readings], money)
    after = difference("after fees", net, total("fees", fees_of(outlet, money), money))
    materials = total("materials", [sheet.materials for sheet in sheets], money)
    overhead = total("overhead", [sheet.overhead for sheet in sheets], money)
    hours = total("hours", [sheet.hours for sheet in sheets], "h")
    kept = difference("left for the hours", after, materials, overhead)
    hourly = quotient("hourly return", kept, hours, unit="an hour") if hours.value else None
    taken = total("taken", [sheet.price for sheet in sheets], money)
    return Result(len(sheets), taken, net, after, hours, hourly)


def sold_there(book: Book, flow: Flow, outlet: Outlet) -> tuple[tuple[Piece, CostSheet], ...]:
    """Pieces sold at an outlet, with their sheets at the price that was paid."""
    found = []
    for piece in book.pieces.values():
        sale = piece.sale
        if sale is None or str(sale.at or piece.at or "") != outlet.name:
            continue
        sheet = cost_sheet(book, flow, piece)
        if sale.price is not None:
            paid = given("sold for", sale.price, sheet.currency, sale.price.place)
            sheet = replace(sheet, price=paid)
        found.append((piece, sheet))
    return tuple(found)
