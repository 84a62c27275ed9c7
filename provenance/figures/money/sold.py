"""What a sale brought: paid, kept back where it was sold, tax, net.

In: a sale, the outlets, how tax is shown. Out: a `Sold`, every figure with its working. What the
record says was `kept back` counts, whatever the outlet's commission is today; where it says
nothing, the outlet's terms of today stand in. A sale that names no outlet was made where the piece
is, else in the studio. At an outlet that buys, the price of a sale is what it paid.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from provenance.figures.money.cost import CostSheet, of_so_many, so_many
from provenance.figures.money.terms import kept_back, paid_at, tax_on_top, tax_within
from provenance.figures.working import Figure, difference, given
from provenance.problems import Said
from provenance.records.lots import Outlet
from provenance.records.pieces import Piece
from provenance.records.sales import Sale
from provenance.records.studio import Tax

STUDIO = "studio"


@dataclass(frozen=True, slots=True)
class Sold:
    """One sale, of all items sold with it: `tax` is inside the price, `tax_on_top` beside it;
    `is_noted`: what was kept back is the record's own word. `outlet` is None for a sale from a
    studio that is no outlet."""

    piece: Piece
    sale: Sale
    outlet: Outlet | None
    price: Figure
    kept_back: Figure
    tax: Figure
    tax_on_top: Figure
    net: Figure
    is_noted: bool

    @property
    def at(self) -> str:
        """Where it was sold."""
        return str(self.outlet.name) if self.outlet else STUDIO


def outlet_of(piece: Piece, sale: Sale, outlets: Mapping[str, Outlet]) -> Outlet | None:
    """Where it was sold: as the sale says, else where the piece is, else in the studio."""
    named = str(sale.at or next(iter(piece.places), ""))
    if named:
        return outlets.get(named)
    return next((each for each in outlets.values() if each.kind == STUDIO), None)


def sold(
    sheet: CostSheet, piece: Piece, sale: Sale, outlets: Mapping[str, Outlet], tax: Tax
) -> Sold:
    """What one sale brought."""
    outlet, minor, money = outlet_of(piece, sale, outlets), sheet.minor, sheet.currency
    where = str(outlet.name) if outlet else Said("step.studio")
    price = _price(sheet, sale, outlet)
    said = Said("step.kept_back", outlet=where)
    kept = given(said, 0, money)
    if sale.kept_back is not None:
        kept = given(said, sale.kept_back, money, sale.kept_back.place)
    elif outlet is not None:
        kept = kept_back(price, outlet, tax, minor)
    within = tax_within(price, tax, minor)
    net = difference(Said("step.net_at", outlet=where), price, kept, within, unit=money)
    return Sold(
        piece, sale, outlet, price, kept, within, tax_on_top(price, tax, minor), net,
        sale.kept_back is not None,
    )  # fmt: skip


def _price(sheet: CostSheet, sale: Sale, outlet: Outlet | None) -> Figure:
    one = paid_at(sheet.price, outlet, sheet.minor) if outlet else sheet.price
    if sale.price is not None:
        one = given(Said("step.sold_for"), sale.price, sheet.currency, sale.price.place)
    return so_many(one, sale.count)


def at_sale_price(sheet: CostSheet, sold: Sold) -> CostSheet:
    """The sheet of what was sold with one sale, at what was paid for it."""
    return replace(of_so_many(sheet, sold.sale.count), price=sold.price)
