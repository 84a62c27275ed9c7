"""Which finished pieces a new one is estimated from, and what they cannot tell about it.

In: finished pieces (`History`) and the new piece's structure and kind. Out: the pieces most like
it, of which there are enough, in what they are like it, and how far the range must be widened
where none of them has the structure or the kind asked for. The rules stand in `estimate`.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import hypot, log

from provenance.problems import Said, sort

ENOUGH = 3  # pieces that an interval can be learnt from
NEW_SORT = 1.3  # stretch of the range where pieces of several sorts are known, but not the new one
APART = log(1.67)  # half the range of a new sort where all known pieces are of one other


@dataclass(frozen=True, slots=True)
class History:
    """A finished piece: what it is, its size, its weight if known, its hours by stage."""

    kind: str
    structure: str
    area_cm2: Fraction
    grams: Fraction | None
    hours: Mapping[str, Fraction]

    @property
    def total(self) -> Fraction:
        return sum(self.hours.values(), Fraction(0))


def pool_for(
    usable: Sequence[History], structure: str, kind: str
) -> tuple[Sequence[History], Said]:
    """The pieces most like the new one of which there are three, and in what they are like it."""
    same_structure = [piece for piece in usable if structure and piece.structure == structure]
    same_kind = [piece for piece in usable if kind and piece.kind == kind]
    both = [piece for piece in same_structure if kind and piece.kind == kind]
    if len(both) >= ENOUGH:
        return both, Said("hours.same_both", structure=structure, kind=sort(kind))
    if len(same_structure) >= ENOUGH:
        return same_structure, Said("hours.same_structure", structure=structure)
    if len(same_kind) >= ENOUGH:
        return same_kind, Said("hours.same_kind", kind=sort(kind))
    return usable, Said("hours.all_sorts")


def stages_of(pool: Sequence[History]) -> dict[str, None]:
    """Stages in the order they are met."""
    return dict.fromkeys(name for piece in pool for name, taken in piece.hours.items() if taken > 0)


def comparable(pool: Sequence[History]) -> Sequence[History]:
    """Pieces that share no stage are compared by their whole hours."""
    shares = [sum(piece.hours.get(name, 0) > 0 for piece in pool) for name in stages_of(pool)]
    if 2 * max(shares) >= len(pool):
        return pool
    return [replace(piece, hours={"making": piece.total}) for piece in pool]


def kin_of(pool: Sequence[History], wanted: History) -> Sequence[History]:
    """Those of a mixed pool that are most like the new piece; none where all are alike in that,
    or too few are known."""
    structure = [each for each in pool if each.structure == wanted.structure]
    kind = [each for each in pool if each.kind == wanted.kind]
    both = [each for each in structure if each.kind == wanted.kind]
    kin = both or structure or kind
    return kin if len(kin) < len(pool) and len(pool) >= ENOUGH else []


def unknown_sorts(pool: Sequence[History], wanted: History) -> Iterator[tuple[str, int]]:
    """The structure or kind asked for that no known piece has, and how many others are known."""
    if len(pool) < ENOUGH:
        return
    for asked, known in (
        (wanted.structure, {piece.structure for piece in pool}),
        (wanted.kind, {piece.kind for piece in pool}),
    ):
        if asked and asked not in known:
            yield asked, len(known)


def widened(margin: float, sorts: Iterable[tuple[str, int]]) -> float:
    """Half the range of the log hours, with the doubt that a new structure or kind brings."""
    for _, known in sorts:
        margin = margin * NEW_SORT if known > 1 else hypot(margin, APART)
    return margin
