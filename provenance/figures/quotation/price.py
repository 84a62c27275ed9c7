"""What a commission costs and what is asked for it: materials, three costs, the offer, pay.

In: what is asked, its needs, its hours. Out: a rounded cost for each material, a `Cost` at the
likely hours and at both ends of the range, the `Offer`, and what the price offered would bring for
an hour at each. A lot costs what it carries by weight; yarn and dye are counted with the spare,
since what is spun and dyed for one piece cannot be matched for the next. Each bath is a pot on the
heat as long as before. Money is rounded half up once per line; instalments are whole pounds (euros,
dollars) and the last takes the rest, so that they add up (2,500 in thirds: 833 + 833 + 834).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from provenance.figures.estimate.hours import HoursEstimate
from provenance.figures.flow.carried import carried_money
from provenance.figures.flow.flow import HEAT, Key, in_all
from provenance.figures.flow.sundries import each_of
from provenance.figures.money.cost import overhead_of, pay_of
from provenance.figures.money.terms import tax_on_top, tax_within
from provenance.figures.quotation.cloth import Asked, of_one
from provenance.figures.quotation.needs import Needs
from provenance.figures.quotation.yarn import times_area
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
from provenance.problems import NOWHERE, Said, named
from provenance.records.amounts import Size
from provenance.records.pieces import Piece
from provenance.records.quantities import Quantity
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


def materials_of(asked: Asked, needs: Needs, size: Size) -> tuple[Figure, ...]:
    """Every material with its rounded cost."""
    lines = [*_lots(asked, needs), *_heat(asked, needs), *_sundries(asked, size)]
    return tuple(rounded(line) for line in lines)


def _lots(asked: Asked, needs: Needs) -> Iterator[Figure]:
    for need in needs.lines:
        if not need.is_in_yarn:  # else the cost of that yarn has its fleece in it
            gram = _cost_of_a_gram(asked, Key(need.kind, need.what))
            yield product(need.what, need.grams, gram, unit=asked.money)


def _cost_of_a_gram(asked: Asked, key: Key) -> Figure:
    """What a gram of a lot cost, by all the money it carries."""
    name, money, flow = key.name, asked.money, asked.flow
    what = Said("step.gram_costs", lot=name)
    whole = flow.whole(key) if key in flow.nodes else Fraction(0)
    if not whole:
        return given(Said("step.not_on_record", what=what), 0, money)
    terms = [carried_money(flow, key, origin, money) for origin in flow.loads[key].money]
    said = Said("flow.cost_of", what=name)
    spent = total(said, terms, money) if terms else given(said, 0, money)
    return quotient(what, spent, in_all(name, whole, place=NOWHERE), unit=money)


def _heat(asked: Asked, needs: Needs) -> Iterator[Figure]:
    """A pot on the heat for each bath that is made again."""
    for bath in needs.pots:
        node = asked.flow.nodes.get(Key("bath", bath))
        if node is not None and HEAT in node.workings:
            yield node.workings[HEAT]


def _sundries(asked: Asked, size: Size) -> Iterator[Figure]:
    """Those of the old piece, measured ones by the width, weighed ones by the area."""
    like, one = asked.like, given(Said("step.pieces"), 1)
    everyone = asked.book.studio.every_piece_takes.items()
    taken = {str(name): (given(str(name), use, use.unit, use.place), one) for name, use in everyone}
    for name, use in like.sundries.items() if like else ():
        assert like is not None
        amount = of_one(like, given(str(name), use, use.unit, use.place))
        taken[str(name)] = (amount, _times(like, use, size))
    for word, (amount, times) in taken.items():
        sundry = asked.book.sundries.get(word)
        if sundry is not None:
            used = product(Said("step.used", what=word), amount, times, unit=amount.unit)
            yield product(word, used, each_of(sundry, asked.money), unit=asked.money)


def _times(like: Piece | None, use: Quantity, size: Size) -> Figure:
    """How many times what the old piece took of a sundry."""
    if like is None or like.size is None or not use.unit:
        return given(Said("step.pieces"), 1)
    if use.unit == "g":
        return times_area(like, like.size, size)
    old = given(Said("step.width_of", piece=like.number), like.size.width, "cm")
    new = given(Said("step.width"), size.width, "cm")
    return quotient(Said("step.times_width", piece=like.number), new, old)


def costs_of(asked: Asked, materials: Sequence[Figure], hours: HoursEstimate) -> dict[str, Cost]:
    """The cost and price at low, likely and high hours."""
    studio, money = asked.book.studio, asked.money
    spent = total(Said("step.materials"), list(materials), money)
    stages = [_paid(asked, stage, likely, hours) for stage, likely in hours.stages.items()]
    likely = _estimated(Said("step.likely_hours"), hours.likely, hours)
    labour = total(Said("step.labour_likely"), stages, money)
    found = {}
    for point in POINTS:
        taken = _estimated(Said(f"step.{point}_hours"), getattr(hours, point), hours)
        paid = labour
        if point != "likely" and likely.value:  # of a cloth the size of a thread none are left
            times = quotient(Said(f"step.{point}_by_likely"), taken, likely)
            paid = rounded(product(Said(f"step.labour_{point}"), labour, times, unit=money))
        overhead = rounded(overhead_of(studio, spent, paid, taken))
        cost = total(Said(f"step.cost_{point}"), [spent, paid, overhead], money)
        price = product(Said(f"step.price_{point}"), cost, _margin(asked), unit=money)
        found[point] = Cost(taken, spent, paid, overhead, cost, rounded(price))
    return found


def _paid(asked: Asked, stage: str, hours: Fraction, found: HoursEstimate) -> Figure:
    """The likely hours of one stage at its pay."""
    said, pay = named("activity", stage), pay_of(asked.book.studio, stage, asked.today)
    taken = _estimated(Said("step.stage_hours", stage=said), hours, found)
    return rounded(product(said, taken, pay, unit=asked.money))


def _estimated(what: Said, hours: Fraction, found: HoursEstimate) -> Figure:
    """Hours out of the estimate: statistics, so they start a working, and say what from."""
    note = Said("step.estimated", number=found.pieces) if found.pieces else Said("step.own_guess")
    return replace(given(what, hours, "h"), note=note)


def _margin(asked: Asked) -> Figure:
    own = asked.commission.margin
    margin = given(Said("step.margin"), asked.book.studio.profit if own is None else own)
    return total(Said("step.one_and_margin"), [given(Said("step.one"), 1), margin])


def offer_of(asked: Asked, index: int, likely: Cost) -> Offer:
    """The price of one size: the maker's own, else the likely one rounded up as prices are."""
    studio, commission, money = asked.book.studio, asked.commission, asked.money
    minor, what = minor_unit(money), Said("step.price_offered")
    own = commission.offer[index] if index < len(commission.offer) else None
    if own is not None:
        price = given(what, own, money)
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
    whole = total(Said("step.to_pay"), [asked_for, added], money) if added.value else asked_for
    within = tax_within(whole, tax, minor) if tax.way == "included" else added
    shares = commission.pay_in or IN_HALVES
    return Offer(price, own is not None, extras, within, whole, instalments(whole, shares))


def instalments(whole: Figure, shares: Sequence[Fraction]) -> tuple[Figure, ...]:
    """The sum in parts; the last takes the rest, so that they add up to it.

    Each is in whole units of the currency, but for sums so small that rounding would tell.
    """
    places = 0 if min(shares) * whole.value >= len(shares) else None
    *first, last = (Said("step.instalment", turn=turn) for turn in range(1, len(shares) + 1))
    parts = [
        rounded(product(what, whole, given(Said("step.share"), share), unit=whole.unit), places)
        for what, share in zip(first, shares, strict=False)
    ]
    return (*parts, difference(last, whole, *parts))


def pay_for_an_hour(asked: Asked, offer: Offer, cost: Cost) -> Figure | None:
    """(price - tax in it - materials - overhead) / hours; design fee and delivery left out."""
    if not cost.hours.value:
        return None
    tax = tax_within(offer.price, asked.book.studio.prices.tax, minor_unit(asked.money))
    kept = difference(Said("step.for_hours"), offer.price, tax, cost.materials, cost.overhead)
    return quotient(Said("step.hour_earns"), kept, cost.hours, unit="an hour")
