"""What a price brings, and what it could be.

In: a cost sheet, a price, an outlet's terms. Out: net, hourly return and the price that earns the
set pay, and with it the profit, each with its working; the price by area, beside what the maker's
own sold pieces of that kind brought; break-even of a fair.
One price everywhere: the outlet changes the net only. A commission is grossed up by division,
never by a mark-up (100 at 30 % needs 142.86, not 130).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from provenance.figures.money.cost import CostSheet
from provenance.figures.money.terms import (
    card_fee_at,
    commission_at,
    left_of_each,
    paid_at,
    tax_within,
)
from provenance.figures.working import (
    Figure,
    difference,
    extreme,
    given,
    product,
    quotient,
    rounded,
    total,
)
from provenance.problems import NOWHERE, Said
from provenance.records.book import Book
from provenance.records.lots import Outlet
from provenance.records.pieces import Piece
from provenance.records.studio import Tax

A_SQUARE_METRE = given(Said("step.square_metre"), 10_000, "cm2")
A_SQUARE_FOOT = given(Said("step.square_foot"), Fraction("30.48") ** 2, "cm2")


@dataclass(frozen=True, slots=True)
class OutletReading:
    """What a price brings at one outlet; `hourly` is None when no hours are noted.

    `must_bring` is the price there that pays every hour at the maker's own rate, overhead and
    profit, after all that is kept there and tax; `to_earn_the_pay` the same without profit.
    `paid` is what is paid there: the price, or less where the outlet `is_bought`, buying the piece
    at its share of it. The commission has its tax in it.
    """

    outlet: str
    kind: str
    paid: Figure
    commission: Figure
    card_fee: Figure
    tax: Figure
    net: Figure
    hourly: Figure | None
    to_earn_the_pay: Figure | None
    must_bring: Figure | None
    is_bought: bool = False


def outlet_reading(sheet: CostSheet, outlet: Outlet, tax: Tax) -> OutletReading:
    """Net, hourly return and the price that earns the pay at one outlet."""
    money, minor, name = sheet.currency, sheet.minor, outlet.name
    paid = paid_at(sheet.price, outlet, minor)
    commission = commission_at(paid, outlet, minor)
    card_fee = card_fee_at(paid, outlet, tax, minor)
    tax_part = tax_within(paid, tax, minor)
    said = Said("step.net_at", outlet=name)
    net = difference(said, paid, commission, card_fee, tax_part, unit=money)
    hourly, earning = hourly_return(sheet, net), _price_to_earn(sheet.cost, sheet, outlet, tax)
    must = _price_to_earn(_before_step(sheet.worked_out_price), sheet, outlet, tax)
    return OutletReading(
        str(name), str(outlet.kind), paid, commission, card_fee, tax_part, net,
        hourly and replace(hourly, what=Said("step.return_at", outlet=name)),
        earning and replace(earning, what=Said("step.full_pay_at", outlet=name)),
        must and replace(must, what=Said("step.must_bring_at", outlet=name)),
        outlet.wholesale is not None,
    )  # fmt: skip


def hourly_return(sheet: CostSheet, net: Figure) -> Figure | None:
    """(net - materials - overhead) / hours."""
    if sheet.hours.value == 0:
        return None
    kept = difference(Said("step.for_hours"), net, sheet.materials, sheet.overhead)
    return quotient(Said("step.hourly"), kept, sheet.hours, unit="an hour")


def _before_step(price: Figure) -> Figure:
    """A worked-out price before it was rounded up to the maker's step."""
    return price.terms[0] if price.how == "rounded up" else price


def _price_to_earn(needed: Figure, sheet: CostSheet, outlet: Outlet, tax: Tax) -> Figure | None:
    left = left_of_each(outlet, tax)
    if left.value <= 0:
        return None
    if outlet.card_fee.fixed:
        said = Said("step.fee_fixed", outlet=outlet.name)
        fixed = given(said, outlet.card_fee.fixed, sheet.currency, outlet.card_fee.place)
        needed = total(Said("step.cost_and_fixed"), [needed, fixed], sheet.currency)
    exact = quotient(Said("step.to_earn"), needed, left, unit=sheet.currency)
    return rounded(exact, sheet.minor)


@dataclass(frozen=True, slots=True)
class Readings:
    """The price by area; nothing without a size. Readings, never the price."""

    per_cm2: Figure | None = None
    per_square_metre: Figure | None = None
    per_square_foot: Figure | None = None


def area_of(piece: Piece) -> Figure | None:
    """Height x width of a piece, in square centimetres; None without a size."""
    size = piece.size
    if size is None:
        return None
    height = given(Said("step.height"), size.height, "cm", size.place)
    width = given(Said("step.width"), size.width, "cm", NOWHERE)  # its line stands at the height
    return product(Said("step.area_of", piece=piece.number), height, width, unit="cm2")


def readings(sheet: CostSheet, area: Figure | None) -> Readings:
    """Readings beside a price; area in square centimetres."""

    if area is None or not area.value:
        return Readings()
    money = sheet.currency
    per_cm2 = quotient(Said("step.per_cm2"), sheet.price, area, unit=money)
    feet = quotient(Said("step.square_feet"), area, A_SQUARE_FOOT)
    per_foot = rounded(quotient(Said("step.per_sq_ft"), sheet.price, feet, unit=money), sheet.minor)
    return Readings(per_cm2, per_square_metre(per_cm2), per_foot)


@dataclass(frozen=True, slots=True)
class OwnSales:
    """What sold pieces of one kind brought, by the cm2 or by the hour; `numbers` as recorded."""

    kind: str
    numbers: tuple[str, ...]
    least: Figure
    most: Figure

    def where(self, this_one: Figure) -> str:
        """Below, within or above what was sold."""
        if this_one.value < self.least.value:
            return "below"
        return "above" if this_one.value > self.most.value else "within"


def own_sales(book: Book, piece: Piece) -> OwnSales | None:
    """Sold pieces of the same kind, this one left out; None when there are none with a size."""
    alike = (each for each in book.pieces.values() if each.kind and each.kind == piece.kind)
    found = {
        str(each.number): reading
        for each in alike
        if each is not piece and (reading := _sold_per_cm2(book, each))
    }
    return brought(str(piece.kind), found)


def brought(kind: str, found: Mapping[str, Figure], by: str = "area") -> OwnSales | None:
    """The least and the most that sold pieces brought, by their numbers; None where none did."""
    if not found:
        return None
    terms = list(found.values())
    least = extreme(Said(f"step.least_by_{by}"), "least", terms)
    most = extreme(Said(f"step.most_by_{by}"), "most", terms)
    return OwnSales(kind, tuple(found), least, most)


def per_square_metre(per_cm2: Figure) -> Figure:
    """The same price by the square metre."""
    return product(Said("step.per_m2"), per_cm2, A_SQUARE_METRE, unit=per_cm2.unit)


def per_square_foot(per_cm2: Figure) -> Figure:
    """The same price by the square foot (929.0304 cm2)."""
    return product(Said("step.per_sq_ft"), per_cm2, A_SQUARE_FOOT, unit=per_cm2.unit)


def _sold_per_cm2(book: Book, piece: Piece) -> Figure | None:
    """What a sold piece, or the last that was sold of a set, brought by area; None when not sold,
    or price or size is missing."""
    area = area_of(piece)
    if not (piece.state == "sold" or (piece.makes and piece.sold)) or area is None:
        return None
    paid = [sale.price for sale in piece.sold if sale.price is not None]
    price = paid[-1] if paid else piece.price
    if price is None:
        return None
    money = str(book.studio.currency)
    brought = given(Said("step.price_of", piece=piece.number), price, money, price.place)
    return quotient(Said("step.piece_per_cm2", piece=piece.number), brought, area, unit=money)


def break_even(fees: Sequence[Figure], average: Figure, fee: Figure, paid_on: Figure) -> int | None:
    """Pieces to sell before a fair pays: ceil(fixed / (average x (1 - fee) - what is paid on))."""
    each = average.value * (1 - fee.value) - paid_on.value
    return ceil(sum(one.value for one in fees) / each) if each > 0 else None
