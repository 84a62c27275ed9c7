"""A piece left with an outlet: who gets what when it is sold, with a discount, or when it is lost.

In: a price and the outlet's terms. Out: shares and the payment for a loss, each with its working.
Rules: the commission is a share of the price (pauldorrell.com); a discount comes from the part of
whoever bears it, and when it is shared the commission is taken of what the buyer pays; a lost
piece is paid at price less commission (glasstips.blogspot.com), or as a guild has it (see `Loss`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from provenance.figures.working import Figure, difference, given, product, rounded, total
from provenance.problems import Said
from provenance.records.lots import Outlet
from provenance.records.terms import Discount, Loss


@dataclass(frozen=True, slots=True)
class Parts:
    """What the buyer pays, and how it is parted: the outlet's commission and the maker's part."""

    price: Figure
    commission: Figure
    to_maker: Figure


def parts_of(price: Figure, outlet: Outlet, minor: int) -> Parts:
    """Price, commission and the maker's part: 1,200 at 40 % leaves the maker 720."""
    kept = _part(Said("step.commission"), price, Fraction(outlet.commission), minor)
    return Parts(price, kept, difference(Said("step.to_maker"), price, kept))


def kept_back(price: Figure, outlet: Outlet, minor: int) -> Figure:
    """What an outlet keeps of a price that is paid there: its commission and its card fee."""
    said = Said("step.kept_back", outlet=outlet.name)
    card = _part(Said("step.fee_at", outlet=outlet.name), price, Fraction(outlet.card_fee), minor)
    return total(said, [parts_of(price, outlet, minor).commission, card], price.unit)


def _part(what: Said, price: Figure, share: Fraction, minor: int) -> Figure:
    return rounded(product(what, price, given(what, share), unit=price.unit), minor)


def sum_of(parts: Sequence[Parts], currency: str) -> Parts:
    """Totals of the rounded lines."""
    return Parts(
        total(Said("step.retail"), [each.price for each in parts], currency),
        total(Said("step.commission"), [each.commission for each in parts], currency),
        total(Said("step.to_maker"), [each.to_maker for each in parts], currency),
    )


def discounted(price: Figure, outlet: Outlet, discount: Discount, minor: int) -> Parts:
    """The same with a discount, taken from the part of whoever bears it."""
    off = _part(Said("step.discount"), price, discount.share, minor)
    buyer = difference(Said("step.buyer_pays"), price, off)
    parts = parts_of(price, outlet, minor)
    match discount.bearer:
        case "gallery":
            to_gallery = difference(Said("step.to_gallery"), parts.commission, off)
            return Parts(buyer, to_gallery, parts.to_maker)
        case "maker":
            to_maker = difference(Said("step.to_maker"), parts.to_maker, off)
            return Parts(buyer, parts.commission, to_maker)
        case _:
            return parts_of(buyer, outlet, minor)


def loss_payment(price: Figure, outlet: Outlet, loss: Loss, minor: int) -> Figure:
    """What is paid for a piece that is lost: 180 at 20 % is 144; 320 with half above 200 is 160."""
    said, limit = Said("step.for_a_loss"), loss.limit or Fraction(0)
    is_above = price.value > limit or (loss.from_limit and price.value == limit)
    if loss.share is not None and is_above:
        part = given(Said("step.part"), loss.share)
        return rounded(product(said, price, part, unit=price.unit), minor)
    return replace(parts_of(price, outlet, minor).to_maker, what=said)
