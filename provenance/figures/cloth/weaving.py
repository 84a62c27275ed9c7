"""From the finished size back to the loom: width, ends, warp, weft, yarn to spare.

In: a `ClothPlan` (centimetres, threads per centimetre, shares; plain numbers, numbers that know
their place in a record, or figures that were worked out). Out: a `WarpPlan` of
figures that show their working. Rules: shrinkage is a share of what is on the loom, so it is
divided out and never added on (Northern California guilds, cnch.org/?p=13821: 10 in at 20 % needs
12.5 in; 12 in would leave 9.6); ends are whole and rounded up; take-up lengthens both the warp and
every shot of weft; loom waste comes once to every end; yarn to spare comes last, on everything.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.cloth.yarn import Count
from provenance.figures.working import (
    Figure,
    Number,
    difference,
    given,
    product,
    quotient,
    rounded_up,
    total,
)
from provenance.problems import Slip

Amount = Fraction | Figure


@dataclass(frozen=True, slots=True)
class ClothPlan:
    """What is wanted and what is allowed for; take-up, shrinkage and spare are shares.

    The length runs with the warp, the width across it.
    """

    finished_length_cm: Amount
    finished_width_cm: Amount
    ends_per_cm: Amount
    picks_per_cm: Amount
    take_up: Amount = Fraction(0)
    shrink_width: Amount = Fraction(0)
    shrink_length: Amount = Fraction(0)
    loom_waste_cm: Amount = Fraction(0)
    spare: Amount = Fraction(0)


@dataclass(frozen=True, slots=True)
class WarpPlan:
    """The same cloth as the loom needs it; metres of yarn, and again with the spare."""

    loom_width: Figure
    loom_length: Figure
    ends: Figure
    end_length: Figure
    picks: Figure
    warp: Figure
    weft: Figure
    yarn: Figure
    warp_with_spare: Figure
    weft_with_spare: Figure
    yarn_with_spare: Figure


@dataclass(frozen=True, slots=True)
class Threads:
    """One set of threads in the cloth: how many to the centimetre, of which yarn, how crimped."""

    per_cm: Fraction
    count: Count
    crimp: Fraction = Fraction(0)


def plan_cloth(plan: ClothPlan) -> WarpPlan:
    """Loom size, ends, and metres of warp and weft for one piece.

    Raises Slip for a size, sett or allowance that no cloth can have.
    """
    _check(plan)
    take_up = stated("take-up", plan.take_up)
    width = on_loom(
        "width", stated("finished width", plan.finished_width_cm, "cm"), plan.shrink_width
    )
    length = on_loom(
        "length", stated("finished length", plan.finished_length_cm, "cm"), plan.shrink_length
    )
    ends = ends_for(width, stated("ends per cm", plan.ends_per_cm, "per cm"))
    woven = lengthened("length with take-up", length, take_up)
    waste = stated("loom waste", plan.loom_waste_cm, "cm")
    end_length = total("length of an end", [woven, waste])
    picks = product(
        "picks", length, stated("picks per cm", plan.picks_per_cm, "per cm"), unit="picks"
    )
    warp = metres("warp", ends, end_length)
    weft = metres("weft", picks, lengthened("a shot of weft with take-up", width, take_up))
    yarn = total("yarn", [warp, weft])
    spare = stated("spare", plan.spare)
    with_spare = [lengthened(f"{part.what} with spare", part, spare) for part in (warp, weft, yarn)]
    return WarpPlan(width, length, ends, end_length, picks, warp, weft, yarn, *with_spare)


def stated(what: str, amount: Number | Figure, unit: str = "") -> Figure:
    """A number of the plan as the start of a working, with its place; a figure as it is."""
    if isinstance(amount, Figure):
        return amount
    return given(what, amount, unit, getattr(amount, "place", None))


def on_loom(what: str, finished: Figure, shrink: Number | Figure) -> Figure:
    """The measure on the loom that shrinks to the finished one: finished ÷ (1 − shrink)."""
    lost = stated("shrinkage", shrink)
    if not 0 <= lost.value < 1:
        raise Slip("shrinkage is a share of what was on the loom, below 100 %", "write 10 %")
    left = difference("left after shrinking", given("whole", 1), lost)
    return quotient(f"{what} on the loom", finished, left, unit=finished.unit)


def shrinkage(before: Number, after: Number) -> Fraction:
    """What a sample lost, as a share of its size before: 10 to 8.5 is 15 %."""
    return (Fraction(before) - Fraction(after)) / Fraction(before)


def ends_for(width: Figure, per_length: Figure) -> Figure:
    """Whole ends for a width on the loom."""
    exact = product("ends, exactly", width, per_length, unit="ends")
    return rounded_up(exact, 1, "ends")


def lengthened(what: str, figure: Figure, share: Figure) -> Figure:
    """A measure and a share more: take-up, spare."""
    factor = total(f"1 + {share.what}", [given("whole", 1), share])
    return product(what, figure, factor, unit=figure.unit)


def metres(what: str, threads: Figure, each_cm: Figure) -> Figure:
    """Metres of yarn in a number of ends or picks of so many centimetres."""
    in_cm = product(f"{what}, in cm", threads, each_cm, unit="cm")
    return quotient(what, in_cm, given("centimetres in a metre", 100), unit="m")


def weighed(what: str, length: Figure, count: Count) -> Figure:
    """Grams of a length of yarn, by its count."""
    tex = given(f"tex ({count.said})" if count.said else "tex", count.tex, "g per 1000 m")
    whole = product(f"{what}, per 1000", length, tex, unit="")
    return quotient(what, whole, given("metres that tex is told for", 1000), unit="g")


def cloth_weight(warp: Threads, weft: Threads) -> Fraction:
    """Grams in a square metre of cloth, from setts, counts and crimp (shares)."""
    grams = (
        100 * threads.per_cm * threads.count.grams(1 + threads.crimp) for threads in (warp, weft)
    )
    return sum(grams, Fraction(0))


def _check(plan: ClothPlan) -> None:
    if min(_worth(plan.finished_length_cm), _worth(plan.finished_width_cm)) <= 0:
        raise Slip("a cloth has a length and a width", "write size: 180 x 60 cm")
    if min(_worth(plan.ends_per_cm), _worth(plan.picks_per_cm)) <= 0:
        raise Slip("a cloth has ends and picks", "write sett: {ends: 6 per cm, picks: 6 per cm}")
    if min(_worth(amount) for amount in (plan.take_up, plan.loom_waste_cm, plan.spare)) < 0:
        raise Slip(
            "take-up, loom waste and spare are never below nothing", "write 0 or leave it out"
        )


def _worth(amount: Amount) -> Fraction:
    return amount.value if isinstance(amount, Figure) else amount
