"""What may be named at one point of a photo of cloth, from the colours of its yarns alone.

In: the yarns of a piece. Out: its sights, numbered from 1: a yarn; yarns that nobody could tell
apart by colour, told as "this or that"; a warp and a weft that cross. The bounds are ours.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from provenance.figures.colour.space import delta_e, lab

ALIKE = 4.0  # ΔE00 below which two yarns are one sight
MOST_ALIKE = 3  # more names than this say nothing
MOST_SIGHTS = 250  # a sight is one byte; yarns beyond are never named


@dataclass(frozen=True, slots=True)
class Yarn:
    """A yarn that may be seen: its colour, and how it runs ("warp", "weft", "warp weft", "")."""

    colour: str
    use: str = ""


@dataclass(frozen=True, slots=True)
class Sight:
    """Places of yarns in their piece; `is_crossing` when all are there at once, else one is."""

    yarns: tuple[int, ...]
    is_crossing: bool = False


@dataclass(frozen=True, slots=True)
class Crossing:
    """Places of two groups, and of the one warp and the one weft in them that cross."""

    groups: tuple[int, int]
    yarns: tuple[int, int]


def sights(yarns: Sequence[Yarn]) -> tuple[Sight, ...]:
    """Everything that may be named, in the order of its numbers."""
    crossed = (Sight(each.yarns, is_crossing=True) for each in crossings(yarns))
    return (*map(Sight, groups_of(yarns)[:MOST_SIGHTS]), *crossed)


def groups_of(yarns: Sequence[Yarn]) -> list[tuple[int, ...]]:
    """Places of yarns that look alike together, each yarn in one group."""
    colours = [lab(yarn.colour) for yarn in yarns]
    of = list(range(len(yarns)))
    for one in range(len(yarns)):
        for other in range(one):
            if delta_e(colours[one], colours[other]) < ALIKE:
                of = [of[other] if group == of[one] else group for group in of]
    found = dict.fromkeys(of)
    return [tuple(n for n, group in enumerate(of) if group == each) for each in found]


def crossings(yarns: Sequence[Yarn]) -> list[Crossing]:
    """Warps and wefts of different groups, where each group has but one to give; none where they
    would be more than can be numbered."""
    groups = groups_of(yarns)
    ends = {
        use: [(n, own[0]) for n, group in enumerate(groups)
              if len(own := [each for each in group if use in yarns[each].use]) == 1]
        for use in ("warp", "weft")
    }  # fmt: skip
    found: dict[frozenset[int], Crossing] = {}
    for (one, warp), (other, weft) in product(ends["warp"], ends["weft"]):
        if one != other:
            found.setdefault(frozenset((one, other)), Crossing((one, other), (warp, weft)))
    return [*found.values()] if len(groups) + len(found) <= MOST_SIGHTS else []
