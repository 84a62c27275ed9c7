"""What a price brings, and what it could be.

In: a cost sheet, a price, an outlet's terms. Out: net, hourly return and the price that earns the
set pay, each with its working; readings beside the price; break-even of a fair; a gallery's share.
One price everywhere: the outlet changes the net only. A commission is grossed up by division,
never by a mark-up (100 at 30 % needs 142.86, not 130).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from provenance.figures.money.cost import CostSheet
from provenance.figures.working import (
    Figure,
    difference,
    given,
    product,
    quotient,
    rounded,
    total,
)
from provenance.records.lots import Outlet
from provenance.records.pieces import Piece
from provenance.records.studio import Tax

SQUARE_FOOT = Fraction("30.48") ** 2


@dataclass(frozen=True, slots=True)
class OutletReading:
    """What a price brings at one outlet; `hourly` is None when no hours are noted."""

    outlet: str
    kind: str
    commission: Figure
    card_fee: Figure
    tax: Figure
    net: Figure
    hourly: Figure | None
    to_earn_the_pay: Figure | None


def outlet_reading(sheet: CostSheet, outlet: Outlet, tax: Tax) -> OutletReading:
    """Net, hourly return and the price that earns the pay at one outlet."""
    money, minor, price, name = sheet.currency, sheet.minor, sheet.price, outlet.name
    rate = given(f"share that {name} keeps", outlet.commission, "", outlet.commission.place)
    fee = given(f"card fee at {name}, share", outlet.card_fee, "", outlet.card_fee.place)
    commission = rounded(product(f"commission of {name}", price, rate, unit=money), minor)
    card_fee = rounded(product(f"card fee at {name}", price, fee, unit=money), minor)
    tax_part = tax_within(price, tax, minor)
    net = difference(f"net at {name}", price, commission, card_fee, tax_part, unit=money)
    hourly, earning = hourly_return(sheet, net), _price_to_earn(sheet, (rate, fee), tax)
    return OutletReading(
        str(name), str(outlet.kind), commission, card_fee, tax_part, net,
        hourly and replace(hourly, what=f"return at {name}"),
        earning and replace(earning, what=f"price for full pay at {name}"),
    )  # fmt: skip


def sale_reading(
    sheet: CostSheet, piece: Piece, outlets: Mapping[str, Outlet], tax: Tax
) -> OutletReading | None:
    """What the sale of a piece brought where it was sold; None for unsold ones."""
    sale = piece.sale
    outlet = outlets.get(str(sale.at or piece.at or "")) if sale else None
    if sale is None or outlet is None:
        return None
    if sale.price is not None:
        price = given("sold for", sale.price, sheet.currency, sale.price.place)
        sheet = replace(sheet, price=price)
    return outlet_reading(sheet, outlet, tax)


def hourly_return(sheet: CostSheet, net: Figure) -> Figure | None:
    """(net - materials - overhead) / hours."""
    if sheet.hours.value == 0:
        return None
    kept = difference("left for the hours", net, sheet.materials, sheet.overhead)
    return quotient("hourly return", kept, sheet.hours, unit="an hour")


def tax_within(price: Figure, tax: Tax, minor: int) -> Figure:
    """The tax inside a shown price (486.00 including 8 % holds 36.00); 0 when none is included."""
    if tax.way != "included":
        return given("tax", 0, price.unit)
    factor = given("one and the tax", 1 + tax.share)
    before = rounded(quotient("price before tax", price, factor, unit=price.unit), minor)
    return difference("tax", price, before)


def tax_on_top(price: Figure, tax: Tax, minor: int) -> Figure:
    """The tax that is added to a price."""
    share = given("tax share", tax.share if tax.way == "added" else 0)
    return rounded(product("tax", price, share, unit=price.unit), minor)


def _price_to_earn(sheet: CostSheet, shares: Sequence[Figure], tax: Tax) -> Figure | None:
    kept = given("one", 1)
    if tax.way == "included":
        kept = quotient(
            "kept of the price after tax", kept, given("one and the tax", 1 + tax.share)
        )
    left = difference("kept of the price", kept, *shares)
    if left.value <= 0:
        return None
    exact = quotient("price to earn the pay", sheet.cost, left, unit=sheet.currency)
    return rounded(exact, sheet.minor)


@dataclass(frozen=True, slots=True)
class Readings:
    """Prices that rules of thumb would give, and the price by area. Readings, never the price."""

    twice_cost: Figure
    four_times_cost: Figure
    three_times_materials: Figure
    per_cm2: Figure | None
    per_square_foot: Figure | None


def area_of(piece: Piece) -> Figure | None:
    """Height x width of a piece, in square centimetres; None without a size."""
    size = piece.size
    if size is None:
        return None
    height, width = given("height", size.height, "cm", size.place), given("width", size.width, "cm")
    return product(f"area of {piece.number}", height, width, unit="cm2")


def readings(sheet: CostSheet, area: Figure | None) -> Readings:
    """Readings beside a price; area in square centimetres."""

    def times(what: str, figure: Figure, factor: int) -> Figure:
        return product(what, figure, given(f"{factor} times", factor), unit=sheet.currency)

    per_cm2 = per_foot = None
    if area is not None and area.value:
        money = sheet.currency
        per_cm2 = quotient("price per cm2", sheet.price, area, unit=money)
        feet = quotient("square feet", area, given("a square foot", SQUARE_FOOT, "cm2"))
        per_foot = rounded(quotient("price per sq ft", sheet.price, feet, unit=money), sheet.minor)
    return Readings(
        times("cost x 2", sheet.cost, 2),
        times("cost x 4", sheet.cost, 4),
        times("materials x 3", sheet.materials, 3),
        per_cm2,
        per_foot,
    )


def break_even(
    fees: Sequence[Figure], average: Figure, fee: Figure, materials: Figure
) -> int | None:
    """Pieces to sell before a fair pays: ceil(fixed / (average x (1 - fee) - materials))."""
    fixed = total("fixed", list(fees)).value
    each = average.value * (1 - fee.value) - materials.value
    return ceil(fixed / each) if each > 0 else None


@dataclass(frozen=True, slots=True)
class Consigned:
    """One piece at a gallery: buyer's price, the maker's and the gallery's part."""

    retail: Figure
    discount: Figure
    to_maker: Figure
    to_gallery: Figure


def consigned(retail: Figure, commission: Fraction, discount: Fraction, minor: int) -> Consigned:
    """Shares of one consigned piece; a discount is borne by the gallery's part alone."""
    share = given("commission", commission)
    part = rounded(product("commission", retail, share, unit=retail.unit), minor)
    off = rounded(product("discount", retail, given("discount", discount), unit=retail.unit), minor)
    return Consigned(
        retail,
        off,
        difference("to the maker", retail, part),
        difference("to the gallery", part, off),
    )
