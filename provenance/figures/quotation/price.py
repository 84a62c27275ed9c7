"""What a commission costs and what is asked for it: three costs, the offer, instalments, pay.

In: what is asked, its materials, its hours. Out: a `Cost` at the likely hours and at both ends of
the range, the `Offer`, and what the price offered would bring for an hour at each. Money is
rounded half up once per line; instalments are rounded and the last takes the rest, so that they
add up (2,500 in thirds is 833.33 + 833.33 + 833.34).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from provenance.figures.estimate.hours import HoursEstimate
from provenance.figures.money.cost import overhead_of, pay_of
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
from provenance.problems import Said, named
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
    extras: Mapping[str, Figure]
    tax: Figure
    whole: Figure
    instalments: tuple[Figure, ...]


def costs_of(asked: Asked, materials: Sequence[Figure], hours: HoursEstimate) -> dict[str, Cost]:
    """The cost and price at low, likely and high hours."""
    studio, money, minor = asked.book.studio, asked.money, minor_unit(asked.money)
    spent = total(Said("step.materials"), list(materials), money)
    stages = [_paid(asked, row.stage, row.likely, hours) for row in hours.stages]
    likely = _estimated(Said("step.likely_hours"), hours.likely, hours)
    labour = total(Said("step.labour_likely"), stages, money)
    found = {}
    for point in POINTS:
        taken, paid = likely, labour
        if point != "likely":
            taken = _estimated(Said(f"step.{point}_hours"), getattr(hours, point), hours)
            times = quotient(Said(f"step.{point}_by_likely"), taken, likely)
            exact = product(Said(f"step.labour_{point}"), labour, times, unit=money)
            paid = rounded(exact, minor)
        overhead = rounded(overhead_of(studio, spent, paid, taken), minor)
        cost = total(Said(f"step.cost_{point}"), [spent, paid, overhead], money)
        price = product(Said(f"step.price_{point}"), cost, _margin(asked), unit=money)
        found[point] = Cost(taken, spent, paid, overhead, cost, rounded(price, minor))
    return found


def _paid(asked: Asked, stage: str, hours: Fraction, found: HoursEstimate) -> Figure:
    """The likely hours of one stage at its pay."""
    said, pay = named("activity", stage), pay_of(asked.book.studio, stage)
    taken = _estimated(Said("step.stage_hours", stage=said), hours, found)
    worth = product(said, taken, pay, unit=asked.money)
    return rounded(worth, minor_unit(asked.money))


def _estimated(what: Said, hours: Fraction, found: HoursEstimate) -> Figure:
    """Hours out of the estimate: statistics, so they start a working, and say what from."""
    note = Said("step.estimated", count=found.pieces) if found.pieces else Said("step.own_guess")
    return replace(given(what, hours, "h"), note=note)


def _margin(asked: Asked) -> Figure:
    own = asked.commission.margin
    share = own if own is not None else asked.book.studio.profit
    margin = given(Said("step.margin"), share, "", share.place)
    return total(Said("step.one_and_margin"), [given(Said("step.one"), 1), margin])


def offer_of(asked: Asked, index: int, likely: Cost) -> Offer:
    """The price of one size: the maker's own, else the likely one rounded up as prices are."""
    studio, commission, money = asked.book.studio, asked.commission, asked.money
    minor, what = minor_unit(money), Said("step.price_offered")
    own = commission.offer[index] if index < len(commission.offer) else None
    if own is not None:
        price = given(what, own, money, own.place)
    else:
        step = studio.prices.round_up_to
        price = rounded_up(likely.price, step, what) if step else likely.price
    extras = {
        str(word): given(named("extra", word), amount, money, amount.place)
        for word, amount in commission.extras.items()
    }
    asked_for = total(Said("step.price_and_extras"), [price, *extras.values()], money)
    tax = studio.prices.tax
    added = tax_on_top(asked_for, tax, minor)
    whole = asked_for
    if added.value:
        whole = total(Said("step.to_pay"), [asked_for, added], money)
    within = tax_within(whole, tax, minor) if tax.way == "included" else added
    shares = commission.pay_in or IN_HALVES
    return Offer(price, own is not None, extras, within, whole, instalments(whole, shares, minor))


def instalments(whole: Figure, shares: Sequence[Fraction], minor: int) -> tuple[Figure, ...]:
    """The sum in parts, each rounded; the last takes the rest, so that they add up to it."""
    first = [_instalment(whole, turn, share, minor) for turn, share in enumerate(shares[:-1], 1)]
    return (*first, difference(Said("step.instalment", turn=len(shares)), whole, *first))


def _instalment(whole: Figure, turn: int, share: Fraction, minor: int) -> Figure:
    part = given(Said("step.share"), share)
    return rounded(product(Said("step.instalment", turn=turn), whole, part, unit=whole.unit), minor)


def pay_for_an_hour(asked: Asked, offer: Offer, cost: Cost) -> Figure | None:
    """(price - tax in it - materials - overhead) / hours; design fee and delivery left out."""
    if not cost.hours.value:
        return None
    tax = tax_within(offer.price, asked.book.studio.prices.tax, minor_unit(asked.money))
    kept = difference(Said("step.for_hours"), offer.price, tax, cost.materials, cost.overhead)
    return quotient(Said("step.hour_earns"), kept, cost.hours, unit="an hour")
