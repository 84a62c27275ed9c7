"""Where each work of a wall hangs: exact lengths in centimetres, from the left end and the floor.

In: the width of a wall, the sizes of its works from the left, the height of their middles, the
maker's own gaps. Out: `Hanging`: for each work its left edge, centre, top, lower edge and hook.
Rules: equal gaps (wall - sum of widths) / (n + 1), at the ends too; where the maker gives gaps,
they lie between the works and what is left is shared by the two ends; hook = centre + half the
height + what it sits above the top edge (the formula of four hanging guides, for example
art-pronet.com 2018). Half the weight on each of two fixings, and four times that as what each must
hold: common practice, from memory.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from provenance.figures.working import half_up

LEAST_FOOT = Fraction(30)  # cm from the floor to the lower edge of a tall work; from memory
CENTRE_LINES = (Fraction(140), Fraction(160))  # outside of these a centre line is odd; ours
FIXINGS, SAFETY = 2, 4  # fixings a work hangs on, and how often its weight they hold; from memory


@dataclass(frozen=True, slots=True)
class Work:
    """A work to be hung: its sides in cm, and how far its hook sits above its top edge."""

    height: Fraction
    width: Fraction
    hook: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class Placed:
    """Where one work hangs, in cm: `left` from the left end of the wall to its left edge, the
    others heights above the floor."""

    left: Fraction
    centre: Fraction
    top: Fraction
    bottom: Fraction
    hook: Fraction


@dataclass(frozen=True, slots=True)
class Hanging:
    """The works of a wall in their places, and the n + 1 gaps from left to right. A wall that is
    too full has gaps below nothing."""

    works: tuple[Placed, ...]
    gaps: tuple[Fraction, ...]

    @property
    def missing(self) -> Fraction:
        """By how many cm the works and gaps are wider than the wall; 0 where they fit."""
        return max(Fraction(0), -sum((gap for gap in self.gaps if gap < 0), Fraction(0)))


def hang(
    width: Fraction, works: Sequence[Work], centre: Fraction, own_gaps: Sequence[Fraction] = ()
) -> Hanging:
    """Hang works on a wall; `own_gaps` are the maker's: one for all, or one between each two."""
    gaps = _gaps(width, works, own_gaps)
    placed, left = list[Placed](), Fraction(0)
    for work, gap in zip(works, gaps, strict=False):
        left += gap
        placed.append(_placed(work, left, centre))
        left += work.width
    return Hanging(tuple(placed), gaps)


def _placed(work: Work, left: Fraction, centre: Fraction) -> Placed:
    top = centre + work.height / 2
    return Placed(left, centre, top, top - work.height, top + work.hook)


def _gaps(width: Fraction, works: Sequence[Work], own: Sequence[Fraction]) -> tuple[Fraction, ...]:
    rest = width - sum((work.width for work in works), Fraction(0))
    if not own or len(works) < 2:
        return (rest / (len(works) + 1),) * (len(works) + 1)
    between = tuple(map(Fraction, own)) if len(own) > 1 else (Fraction(own[0]),) * (len(works) - 1)
    end = (rest - sum(between)) / 2
    return (end, *between, end)


def highest_middle(height: Fraction, work: Work) -> Fraction:
    """The highest middle at which a work and its hook stay below the top of a wall."""
    return height - work.height / 2 - max(work.hook, Fraction(0))


def lowest_middle(work: Work) -> Fraction:
    """The lowest middle that keeps the lower edge of a work clear of the floor."""
    return LEAST_FOOT + work.height / 2


def each_fixing_holds(grams: Fraction) -> Fraction:
    """What each fixing of a work must hold, in grams: four times the weight, on two fixings."""
    return grams * SAFETY / FIXINGS


def to_millimetre(length: Fraction) -> Decimal:
    """A length in cm to the millimetre, half up: the one rounding, where it is told."""
    return half_up(length, 1)
