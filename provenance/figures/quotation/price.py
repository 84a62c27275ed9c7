"""What a commission costs and what is asked for it: three costs, the offer, instalments, pay.

In: what is asked, its materials, its hours. Out: a `Cost` at the likely hours and at both ends of
the range, the `Offer`, and what the price offered would bring for an hour at each. Money is
rounded half up once per line; instalments are rounded and the last takes the rest, so that they
add up (2,500 in thirds is 833.33 + 833.33 + 833.34).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from provenance.figures.estimate.hours import HoursEstimate
from provenance.figures.money.cost import overhead_of
from provenance.figures.money.price import tax_on_top, tax_within
from provenance.figures.quotation.cloth import Asked
from provenance.figures.working import (
    Figure,
    difference,
    given,
    product,
    quotient,
    rounded,
    rounded_up,
    total,
)
from provenance.reference.currencies import minor_unit

POINTS = ("low", "likely", "high")
IN_HALVES = (Fraction(1, 2), Fraction(1, 2))  # where the commission does not say: common practice


@dataclass(frozen=True, slots=True)
class Cost:
    """What it costs at so many hours."""

    hours: Figure
    materials: Figure
    labour: Figure
    overhead: Figure
    cost: Figure
    price: Figure


@dataclass(frozen=True, slots=True)
class Offer:
    """What is asked of the client: the price offered, extras, tax, all of it, instalments."""

    price: Figure
    is_own: bool
    extras: tuple[Figure, ...]
    tax: Figure
    whole: Figure
    instalments: tuple[Figure, ...]


def costs_of(asked: Asked, materials: Sequence[Figure], hours: HoursEstimate) -> dict[str, Cost]:
    """The cost and price at low, likely and high hours."""
    studio = asked.book.studio
    money, minor = str(studio.currency), minor_unit(studio.currency)
    spent = total("materials", list(materials), money)
    stages = [_paid(asked, row.stage, row.likely, hours) for row in hours.stages]
    likely = _estimated("likely hours", hours.likely, hours)
    labour = total("labour at the likely hours", stages, money)
    found = {}
    for point in POINTS:
        taken, paid = likely, labour
        if point != "likely":
            taken = _estimated(f"{point} hours", getattr(hours, point), hours)
            times = quotient(f"{point} by likely hours", taken, likely)
            exact = product(f"labour at the {point} hours", labour, times, unit=money)
            paid = rounded(exact, minor)
        overhead = rounded(overhead_of(studio, spent, paid, taken), minor)
        cost = total(f"cost at the {point} hours", [spent, paid, overhead], money)
        price = rounded(_with_margin(asked, cost, point), minor)
        found[point] = Cost(taken, spent, paid, overhead, cost, price)
    return found


def _paid(asked: Asked, stage: str, hours: Fraction, found: HoursEstimate) -> Figure:
    """The likely hours of one stage at its pay."""
    money = str(asked.book.studio.currency)
    taken = _estimated(f"{stage}, likely hours", hours, found)
    return rounded(product(stage, taken, _pay(asked, stage), unit=money), minor_unit(money))


def _estimated(what: str, hours: Fraction, found: HoursEstimate) -> Figure:
    """Hours out of the estimate: statistics, so they start a working, and say what from."""
    note = f"estimated from {found.pieces} finished pieces" if found.pieces else "your own guess"
    return replace(given(what, hours, "h"), note=note)


def _pay(asked: Asked, stage: str) -> Figure:
    pay = asked.book.studio.pay_for(stage)
    return given(f"pay for {stage}", pay or 0, "an hour", pay.place if pay else None)


def _with_margin(asked: Asked, cost: Figure, point: str) -> Figure:
    own = asked.commission.margin
    share = own if own is not None else asked.book.studio.profit
    factor = total("one and the margin", [given("one", 1), given("margin", share, "", share.place)])
    return product(f"price at the {point} hours", cost, factor, unit=cost.unit)


def offer_of(asked: Asked, index: int, likely: Cost) -> Offer:
    """The price of one size: the maker's own, else the likely one rounded up as prices are."""
    studio, commission = asked.book.studio, asked.commission
    money, minor = str(studio.currency), minor_unit(studio.currency)
    own = commission.offer[index] if index < len(commission.offer) else None
    if own is not None:
        price = given("price offered", own, money, own.place)
    else:
        step = studio.prices.round_up_to
        price = rounded_up(likely.price, step, "price offered") if step else likely.price
    extras = tuple(
        given(str(word), amount, money, amount.place) for word, amount in commission.extras.items()
    )
    asked_for = total("price and extras", [price, *extras], money)
    tax = studio.prices.tax
    added = tax_on_top(asked_for, tax, minor)
    whole = total("to pay in all", [asked_for, added], money) if added.value else asked_for
    within = tax_within(whole, tax, minor) if tax.way == "included" else added
    shares = commission.pay_in or IN_HALVES
    return Offer(price, own is not None, extras, within, whole, instalments(whole, shares, minor))


def instalments(whole: Figure, shares: Sequence[Fraction], minor: int) -> tuple[Figure, ...]:
    """The sum in parts, each rounded; the last takes the rest, so that they add up to it."""
    first = [
        rounded(product(f"instalment {turn}", whole, given("share", share), unit=whole.unit), minor)
        for turn, share in enumerate(shares[:-1], 1)
    ]
    return (*first, difference(f"instalment {len(shares)}", whole, *first))


def pay_for_an_hour(asked: Asked, offer: Offer, cost: Cost) -> Figure | None:
    """(price - tax in it - materials - overhead) / hours; design fee and delivery left out."""
    if not cost.hours.value:
        return None
    minor = minor_unit(asked.book.studio.currency)
    tax = tax_within(offer.price, asked.book.studio.prices.tax, minor)
    kept = difference("left for the hours", offer.price, tax, cost.materials, cost.overhead)
    return quotient("an hour earns", kept, cost.hours, unit="an hour")
