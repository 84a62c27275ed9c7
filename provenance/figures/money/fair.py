"""What a fair must bring, what its pieces would bring there, and what it brought.

In: the outlet, cost sheets of the pieces taken along, pieces sold there. Out: fees, the number of
pieces to sell before it pays, each piece's net and hourly return there, the result of a sale, all
with their working. Break-even: fees / (average x (1 - fee) - materials), rounded up; figures for
the maker alone.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.flow.flow import Flow
from provenance.figures.money.cost import CostSheet, cost_sheet
from provenance.figures.money.price import OutletReading, break_even, outlet_reading
from provenance.figures.money.sold import Sold, at_sale_price, outlet_of, sold
from provenance.figures.money.terms import left_of_each, tax_within
from provenance.figures.working import Figure, difference, given, quotient, total
from provenance.problems import Said
from provenance.records.book import Book
from provenance.records.lots import Outlet
from provenance.records.studio import Tax


@dataclass(frozen=True, slots=True)
class Prospect:
    """A fair with pieces: `to_sell` is None when no number of pieces would pay for it.

    `paid_on` is what every sale costs beside the outlet's share: materials, tax inside the price,
    what a card costs each time.
    """

    fees: tuple[Figure, ...]
    fixed: Figure
    average: Figure
    kept: Figure
    materials: Figure
    paid_on: Figure
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


def prospect(
    outlet: Outlet, each: Sequence[CostSheet], book: Book, counts: Sequence[int] = ()
) -> Prospect:
    """Break-even and returns for the pieces taken along, at least one; `counts` of sets."""
    tax, money = book.studio.prices.tax, str(book.studio.currency)
    sheets = so_many(each, counts)
    number = given(Said("step.pieces"), len(sheets))

    def mean(what: Said, whole: Said, figures: Sequence[Figure]) -> Figure:
        return quotient(what, total(whole, figures, money), number, unit=money)

    average = mean(Said("step.average"), Said("step.prices"), [sheet.price for sheet in sheets])
    bought = [sheet.materials for sheet in sheets]
    materials = mean(Said("step.average_materials"), Said("step.materials"), bought)
    # Tax inside a price is never the maker's: like the materials, it is paid on.
    within = [tax_within(sheet.price, tax, sheet.minor) for sheet in sheets]
    taxes = mean(Said("step.tax"), Said("step.tax"), within)
    share = given(Said("step.fee_and_commission"), 1 - left_of_each(outlet, _untaxed(tax)).value)
    fixed = given(Said("step.fee_fixed", outlet=outlet.name), outlet.card_fee.fixed, money)
    paid_on = total(Said("step.paid_on"), [materials, taxes, fixed], money)
    fees = fees_of(outlet, money)
    return Prospect(
        fees,
        total(Said("step.fees"), fees, money),
        average,
        difference(Said("step.kept"), given(Said("step.one"), 1), share),
        materials,
        paid_on,
        break_even(fees, average, share, paid_on),
        tuple(outlet_reading(sheet, outlet, tax) for sheet in each),
    )


def so_many(sheets: Sequence[CostSheet], counts: Sequence[int] = ()) -> list[CostSheet]:
    """Every sheet as often as things of it are there."""
    return [
        sheet for turn, sheet in enumerate(sheets) for _ in range(counts[turn] if counts else 1)
    ]


def _untaxed(tax: Tax) -> Tax:
    """Tax that is added raises the card fee; what is inside a price is taken off by itself."""
    return tax if tax.way == "added" else Tax("none", Fraction(0))


def fees_of(outlet: Outlet, money: str) -> tuple[Figure, ...]:
    """What the fair costs before anything is sold."""
    return tuple(given(str(what), fee, money, fee.place) for what, fee in outlet.fees.items())


def result_of(
    outlet: Outlet, sheets: Sequence[CostSheet], book: Book, sales: Sequence[Sold] = ()
) -> Result:
    """What these pieces bring if all are sold; or brought, where their `sales` are told."""
    tax, money = book.studio.prices.tax, str(book.studio.currency)
    nets = [each.net for each in sales]
    nets = nets or [outlet_reading(sheet, outlet, tax).net for sheet in sheets]
    net = total(Said("step.net"), nets, money)
    fees = total(Said("step.fees"), fees_of(outlet, money), money)
    after = difference(Said("step.after_fees"), net, fees)
    materials = total(Said("step.materials"), [sheet.materials for sheet in sheets], money)
    overhead = total(Said("step.overhead"), [sheet.overhead for sheet in sheets], money)
    hours = total(Said("step.hours"), [sheet.hours for sheet in sheets], "h")
    kept = difference(Said("step.for_hours"), after, materials, overhead)
    hourly = quotient(Said("step.hourly"), kept, hours, unit="an hour") if hours.value else None
    taken = total(Said("step.taken"), [sheet.price for sheet in sheets], money)
    things = sum(each.sale.count for each in sales) if sales else len(sheets)
    return Result(things, taken, net, after, hours, hourly)


def sold_there(book: Book, flow: Flow, outlet: Outlet) -> tuple[tuple[Sold, CostSheet], ...]:
    """What was sold at an outlet, with the sheets at the price that was paid."""
    tax, found = book.studio.prices.tax, list[tuple[Sold, CostSheet]]()
    for piece in book.pieces.values():
        for sale in piece.sold:
            if outlet_of(piece, sale, book.outlets) is outlet:
                sheet = cost_sheet(book, flow, piece)
                one = sold(sheet, piece, sale, book.outlets, tax)
                found.append((one, at_sale_price(sheet, one)))
    return tuple(found)
