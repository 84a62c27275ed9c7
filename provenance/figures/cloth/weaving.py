"""From the finished size back to the loom: width, ends, warp, weft, yarn to spare.

In: length, width and sett of the finished cloth, and what weaving and finishing take, as figures.
Out: a `WarpPlan` of figures that show their working. Rules: shrinkage is a share of what is on the
loom, so it is divided out and never added on (Northern California guilds, cnch.org/?p=13821: 10 in
at 20 % needs 12.5 in; 12 in would leave 9.6); ends are whole and rounded up; take-up lengthens both
the warp and every shot of weft; loom waste comes once to every end; yarn to spare comes last, on
everything.
"""

from dataclasses import dataclass

from provenance.figures.working import (
    Figure,
    difference,
    given,
    product,
    quotient,
    rounded_up,
    total,
)
from provenance.problems import Said, Slip, Words


@dataclass(frozen=True, slots=True)
class Allowed:
    """What weaving and finishing take; take-up, shrinkage and spare are shares.

    `assumed` says what of it is ours, since the record is silent.
    """

    take_up: Figure
    shrink_width: Figure
    shrink_length: Figure
    loom_waste: Figure
    spare: Figure
    assumed: tuple[Words, ...] = ()


@dataclass(frozen=True, slots=True)
class Sett:
    """Ends and picks to the centimetre of the finished cloth."""

    ends: Figure
    picks: Figure


@dataclass(frozen=True, slots=True)
class WarpPlan:
    """The same cloth as the loom needs it; metres of yarn, and all of it with the spare."""

    loom_width: Figure
    loom_length: Figure
    ends: Figure
    end_length: Figure
    picks: Figure
    warp: Figure
    weft: Figure
    yarn: Figure
    yarn_with_spare: Figure


def plan_cloth(length: Figure, width: Figure, sett: Sett, allowed: Allowed) -> WarpPlan:
    """Loom size, ends, and metres of warp and weft; the length runs with the warp.

    Raises Slip for a size, sett or allowance that no cloth can have.
    """
    _check(length, width, sett, allowed)
    wide = on_loom(Said("cloth.width"), width, allowed.shrink_width)
    long = on_loom(Said("cloth.length"), length, allowed.shrink_length)
    ends, end, shot = ends_for(wide, sett.ends), end_for(long, allowed), shot_for(wide, allowed)
    picks = product(Said("cloth.picks"), long, sett.picks, unit="picks")
    warp, weft = metres(Said("cloth.warp"), ends, end), metres(Said("cloth.weft"), picks, shot)
    yarn = total(Said("cloth.yarn"), [warp, weft])
    spare = lengthened(Said("cloth.with_spare", what=yarn.what), yarn, allowed.spare)
    return WarpPlan(wide, long, ends, end, picks, warp, weft, yarn, spare)


def end_for(long: Figure, allowed: Allowed) -> Figure:
    """The length of one end: the woven length with take-up, and once what the loom wastes."""
    woven = lengthened(Said("cloth.length_taken_up"), long, allowed.take_up)
    return total(Said("cloth.end"), [woven, allowed.loom_waste])


def shot_for(wide: Figure, allowed: Allowed) -> Figure:
    """The length of one shot of weft."""
    return lengthened(Said("cloth.shot"), wide, allowed.take_up)


def on_loom(what: Words, finished: Figure, lost: Figure) -> Figure:
    """The measure on the loom that shrinks to the finished one: finished ÷ (1 − shrink)."""
    if not 0 <= lost.value < 1:
        raise Slip(Said("cloth_slip.no_shrinkage"), Said("cloth_slip.write_shrinkage"))
    left = difference(Said("cloth.left"), given(Said("cloth.whole"), 1), lost)
    return quotient(Said("cloth.on_loom", what=what), finished, left, unit=finished.unit)


def ends_for(width: Figure, per_length: Figure) -> Figure:
    """Whole ends for a width on the loom."""
    exact = product(Said("cloth.ends_exactly"), width, per_length, unit="ends")
    return rounded_up(exact, 1, Said("cloth.ends"))


def lengthened(what: Words, figure: Figure, share: Figure) -> Figure:
    """A measure and a share more: take-up, spare."""
    whole = given(Said("cloth.whole"), 1)
    factor = total(Said("cloth.one_and", what=share.what), [whole, share])
    return product(what, figure, factor, unit=figure.unit)


def metres(what: Words, threads: Figure, each_cm: Figure) -> Figure:
    """Metres of yarn in a number of ends or picks of so many centimetres."""
    in_cm = product(Said("cloth.in_cm", what=what), threads, each_cm, unit="cm")
    return quotient(what, in_cm, a_metre(), unit="m")


def a_metre() -> Figure:
    """A hundred centimetres."""
    return given(Said("cloth.cm_in_metre"), 100)


def _check(length: Figure, width: Figure, sett: Sett, allowed: Allowed) -> None:
    if min(length.value, width.value) <= 0:
        raise Slip(Said("cloth_slip.no_size"), Said("cloth_slip.write_size"))
    if min(sett.ends.value, sett.picks.value) <= 0:
        raise Slip(Said("cloth_slip.no_sett"), Said("cloth_slip.write_sett"))
    if min(each.value for each in (allowed.take_up, allowed.loom_waste, allowed.spare)) < 0:
        raise Slip(Said("cloth_slip.below_nothing"), Said("cloth_slip.write_nought"))
