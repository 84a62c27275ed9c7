"""A quotation: what a commission takes, costs and brings, size by size, from the maker's own work.

In: the book, its flow, a commission, today. Out: a `Quotation` whose every figure carries its
working. Hours come from finished pieces (`estimate`), with a range that holds 80 in 100 new
pieces; cost and price are told at the likely hours and at both ends of that range; the price
offered is the maker's own, else the likely one rounded up as the studio rounds. A quotation is
never one brave number, and says what it rests on.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from provenance.figures.cloth.weaving import Allowed, WarpPlan
from provenance.figures.estimate.hours import WIDENED, HoursEstimate, estimate
from provenance.figures.flow.flow import Flow
from provenance.figures.quotation.cloth import Asked, allowances, cloth_on_loom, sort_of
from provenance.figures.quotation.needs import Needs, needs_for
from provenance.figures.quotation.price import (
    POINTS,
    Cost,
    Offer,
    costs_of,
    materials_of,
    offer_of,
    pay_for_an_hour,
)
from provenance.figures.quotation.time import (
    Turn,
    agreed_size,
    histories,
    scaled_weight,
    turns,
    waiting,
    weeks_for,
)
from provenance.figures.quotation.yarn import Strand, strands_for, times_area
from provenance.figures.working import Figure, given, plain, product, rounded, total
from provenance.problems import Said, Slip, Words, did_you_mean, named, row
from provenance.records.amounts import Size
from provenance.records.book import Book
from provenance.records.commissions import Commission

TOLERANCE = Fraction(5, 100)  # of each side, where the commission does not say; usual in the trade


@dataclass(frozen=True, slots=True)
class Option:
    """One size of a quotation. `plan` is None where no sett is known; `weeks` without a week.

    `as_like` is the price in proportion to the area, as the piece it is scaled from is priced: a
    reading beside the price, never the price.
    """

    size: Size
    plan: WarpPlan | None
    strands: tuple[Strand, ...]
    needs: Needs
    hours: HoursEstimate
    materials: tuple[Figure, ...]
    costs: Mapping[str, Cost]
    offer: Offer
    earns: Mapping[str, Figure | None]
    weeks: Figure | None
    turns: tuple[Turn, ...]
    tolerance: tuple[Figure, Figure]
    as_like: Figure | None

    @property
    def grams(self) -> Figure:
        """All yarn, with the spare."""
        what = Said("step.with_spare", what=Said("cloth.yarn"))
        return total(what, [strand.with_spare for strand in self.strands], "g")


@dataclass(frozen=True, slots=True)
class Quotation:
    """All sizes of a commission, the day it is sent on, the hours still in each commission that
    waits before it, and what is to be said of it."""

    asked: Asked
    options: tuple[Option, ...]
    allowed: Allowed
    sent: date
    queue: Mapping[str, Figure]
    remarks: tuple[Words, ...]

    @property
    def until(self) -> date:
        """The last day it holds: counted from the day it is sent."""
        return self.sent + timedelta(days=self.asked.commission.valid)

    @property
    def is_lapsed(self) -> bool:
        """Past its last day, and nothing agreed."""
        return self.asked.today > self.until and self.asked.commission.status in ("asked", "quoted")

    @property
    def lacking(self) -> dict[str, Figure]:
        """What the shelf lacks for the size that lacks most of it: name -> grams."""
        most: dict[str, Figure] = {}
        for need in (need for option in self.options for need in option.needs.lacking):
            if need.what not in most or most[need.what].value < need.lacking.value:
                most[need.what] = need.lacking
        return most


def quote(
    book: Book, flow: Flow, commission: Commission, today: date, swatches: Mapping[str, str]
) -> Quotation:
    """The quotation of a commission; Slip says what is missing to work it out.

    Once a price is agreed there is one size, at that price.
    """
    commission = _as_agreed(commission)
    number = str(commission.like or "")
    like = book.pieces.get(number)
    if number and like is None:
        raise Slip(Said("quote_slip.no_like", piece=number), did_you_mean(number, book.pieces))
    if not commission.sizes:
        what = Said("quote_slip.no_size", commission=commission.number)
        raise Slip(what, Said("quote_slip.write_sizes"))
    asked = Asked(book, flow, commission, like, *sort_of(commission, like), swatches, today)
    allowed = allowances(commission)
    queue = waiting(book, flow, str(commission.number), today)
    options = tuple(_option(asked, allowed, queue, index) for index in range(len(commission.sizes)))
    last = book.issue_of(str(commission.number))  # the clock may have gone backwards since
    sent = max(today, last.on) if last else min(commission.quoted or today, today)
    return Quotation(asked, options, allowed, sent, queue, tuple(_remarks(asked, options)))


def _as_agreed(commission: Commission) -> Commission:
    agreed, size = commission.accepted, agreed_size(commission)
    if agreed is None or agreed.price is None or size is None:
        return commission
    return commission.model_copy(update={"sizes": (size,), "offer": (agreed.price,)})


def _option(asked: Asked, allowed: Allowed, queue: Mapping[str, Figure], index: int) -> Option:
    """One size, from the loom to the pay."""
    size = asked.commission.sizes[index]
    plan = cloth_on_loom(asked, allowed, size)
    strands = strands_for(asked, allowed, size, plan)
    needs = needs_for(asked, strands)
    hours = hours_for(asked, size, in_cloth(strands, plan))
    materials = materials_of(asked, needs, size)
    costs = costs_of(asked, materials, hours)
    offer = offer_of(asked, index, costs["likely"])
    return Option(
        size, plan, strands, needs, hours, materials, costs, offer,
        {point: pay_for_an_hour(asked, offer, costs[point]) for point in POINTS},
        weeks_for(asked.book, queue, hours.likely),
        turns(asked.book, queue, hours),
        _tolerance(asked, size),
        as_priced(asked, size),
    )  # fmt: skip


def in_cloth(strands: tuple[Strand, ...], plan: WarpPlan | None) -> Fraction:
    """Grams of yarn in the finished cloth: without spare and without what the loom wastes."""
    woven = Fraction(1)
    if plan:
        woven -= plan.end_length.terms[-1].value / plan.end_length.value
    grams = (each.grams.value * (woven if each.use == "warp" else 1) for each in strands)
    return sum(grams, Fraction(0))


def hours_for(asked: Asked, size: Size, grams_in_cloth: Fraction) -> HoursEstimate:
    """Hours from the pieces finished by now; the piece asked for is never among them."""
    known = histories(asked.book, asked.flow, asked.today)
    own = str((asked.commission.accepted and asked.commission.accepted.piece) or "")
    pieces = [each for number, each in known.items() if number != own]
    if not pieces and asked.commission.hours is not None:
        return _guessed(asked, asked.commission.hours, size)
    grams = scaled_weight(asked.like, size.area) or grams_in_cloth or None
    like = str(asked.commission.like or "")
    return estimate(pieces, asked.structure, asked.kind, size.area, grams, like)


def _guessed(asked: Asked, hours: Fraction, size: Size) -> HoursEstimate:
    """The maker's own guess for the first size, where no piece is finished to learn from."""
    likely = hours * size.area / asked.commission.sizes[0].area
    factor = Fraction(WIDENED[1])
    basis, ends = Said("hours.guessed", factor=plain(factor)), (likely / factor, likely * factor)
    return HoursEstimate({"making": likely}, likely, *ends, basis, 0, is_thin=True)


def as_priced(asked: Asked, size: Size) -> Figure | None:
    """What it would be at the price of the piece it is like, by area."""
    like = asked.like
    if like is None or like.price is None or like.size is None:
        return None
    price = given(Said("step.price_of", piece=like.number), like.price, asked.money)
    times = times_area(like, like.size, size)
    what = Said("step.as_priced_by_area", piece=like.number)
    return rounded(product(what, price, times, unit=asked.money))


def _tolerance(asked: Asked, size: Size) -> tuple[Figure, Figure]:
    """How far height and width may be off, in centimetres either way."""
    own = asked.commission.tolerance
    share = given(Said("step.tolerance"), TOLERANCE if own is None else own)

    def either_way(side: Said, measure: Fraction) -> Figure:
        what = Said("step.either_way", side=side)
        return product(what, given(side, measure, "cm"), share, unit="cm")

    high = either_way(Said("step.height"), size.height)
    return high, either_way(Said("step.width"), size.width)


def _remarks(asked: Asked, options: tuple[Option, ...]) -> Iterator[Said]:
    """What the maker should know before the paper goes out."""
    studio, first = asked.book.studio, options[0]
    if any(option.hours.is_thin for option in options):
        yield Said("quote_remark.is_thin")
    if first.plan is None:
        yield Said("quote_remark.no_sett", piece=asked.commission.like)
    if first.weeks is None:
        yield Said("quote_remark.no_week")
    stages, today = first.hours.stages, asked.today
    unpaid = [stage for stage in stages if studio.pay_for(stage, today) is None]
    if unpaid:
        yield Said("quote_remark.unpaid", stages=row(named("activity", each) for each in unpaid))
    if "design fee" in asked.commission.extras:
        yield Said("quote_remark.design_fee")
    for strand in first.strands:
        if strand.near and not strand.nearest:
            yield Said("quote_remark.no_recipe", colour=strand.near)
