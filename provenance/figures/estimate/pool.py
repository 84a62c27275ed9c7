"""Which finished pieces a new one is estimated from, and what they cannot tell about it.

In: finished pieces (`History`) and the new piece's structure and kind. Out: the pieces most like
it, of which there are enough, in what they are like it, by what they are sorted, and what none of
them is. The rules stand in `hours` and `level`.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from math import log

from provenance.problems import Said, sort

ENOUGH = 3  # pieces that an interval can be learnt from


@dataclass(frozen=True)
class History:
    """A finished piece: what it is, its size, its weight if known, its hours by stage. It is asked
    again and again: what is worked out of it is kept.

    `turn` tells which was made before which: a number that grows; all alike where nobody knows.
    """

    kind: str
    structure: str
    area_cm2: Fraction
    grams: Fraction | None
    hours: Mapping[str, Fraction]
    turn: int = 0
    number: str = ""

    @cached_property
    def total(self) -> Fraction:
        return sum(self.hours.values(), Fraction(0))

    @cached_property
    def log_hours(self) -> Mapping[str, float]:
        """The logs of its hours, of the stages it went through."""
        return {name: log(taken) for name, taken in self.hours.items() if taken > 0}

    @cached_property
    def log_area(self) -> float:
        return log(self.area_cm2)


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
    return dict.fromkeys(name for piece in pool for name in piece.log_hours)


def comparable(pool: Sequence[History]) -> Sequence[History]:
    """Pieces that share no stage are compared by their whole hours."""
    shares = [sum(name in piece.log_hours for piece in pool) for name in stages_of(pool)]
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


def traits_of(pool: Sequence[History], wanted: History) -> list[str]:
    """What sorts the pieces of this pool: structure and kind, as far as they are asked for; where
    no piece is both, but some share one of the two, that one."""
    asked = [trait for trait in ("structure", "kind") if getattr(wanted, trait)]
    kin = kin_of(pool, wanted)
    shared = [
        trait
        for trait in asked
        if kin and all(getattr(each, trait) == getattr(wanted, trait) for each in kin)
    ]
    return shared or asked


def unknown_sorts(pool: Sequence[History], wanted: History) -> Iterator[str]:
    """The structure or kind asked for that no known piece has."""
    if len(pool) < ENOUGH:
        return
    for asked, known in (
        (wanted.structure, {piece.structure for piece in pool}),
        (wanted.kind, {piece.kind for piece in pool}),
    ):
        if asked and asked not in known:
            yield asked
