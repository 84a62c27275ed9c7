"""What each work of a show is insured for, and why so much: for maker, gallery and insurer.

In: the view, the show's outlet, a worked-out piece. Out: a sum and its reason. For papers between
those alone, never before the public: it tells what an outlet keeps and what a buyer paid. A work
that can be bought is worth what its outlet pays for a loss (`figures.money.consignment`), where a
show's rules say so its whole price; one that was sold what was paid for it; another its price.
"""

from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.money.consignment import loss_payment, parts_of
from provenance.figures.working import Figure, half_up, rounded
from provenance.public.describe import has_price
from provenance.public.names import outlet_title
from provenance.public.view import View
from provenance.records.lots import Outlet
from provenance.records.pieces import FOR_SALE, Piece
from provenance.reference.currencies import minor_unit
from provenance.studio import Worked

CONSIGNED = ("gallery", "shop", "guild")


@dataclass(frozen=True, slots=True)
class InsuredFor:
    """A sum in the studio's currency, None where nobody can know it; the reason in words."""

    value: Fraction | None
    why: str


def insured_for(view: View, outlet: Outlet | None, worked: Worked) -> InsuredFor:
    """The value of a work, of a set that of one."""
    value, why = _of_one(view, outlet, worked)
    name = outlet_title(outlet) if outlet else ""
    return InsuredFor(value, view.phrases.say(f"insured.{why}", outlet=name))


def _of_one(view: View, outlet: Outlet | None, worked: Worked) -> tuple[Fraction | None, str]:
    piece, minor = worked.record, minor_unit(view.book.studio.currency)
    paid = _paid(piece)
    if paid is not None:
        return Fraction(half_up(paid, minor)), "sold"
    if not has_price(piece):
        return None, "unknown"
    price = rounded(worked.cost.price, minor)
    if outlet and piece.state in FOR_SALE:
        return _at(outlet, price, minor)
    return price.value, "price" if piece.price is not None else "worked_out"


def _paid(piece: Piece) -> Fraction | None:
    """What the buyer paid for a work that is sold."""
    prices = [sale.price for sale in piece.sold if sale.price is not None]
    return Fraction(prices[-1]) if piece.state == "sold" and prices else None


def _at(outlet: Outlet, price: Figure, minor: int) -> tuple[Fraction, str]:
    """What an outlet answers for, by its terms or the rules of a juried show."""
    if outlet.kind in CONSIGNED and outlet.wholesale is None:
        return loss_payment(price, outlet, outlet.terms.loss, minor).value, "loss"
    if outlet.kind == "show" and outlet.rules.insurance != "price":
        return parts_of(price, outlet, minor).to_maker.value, "less_commission"
    return price.value, "price"
