"""How much of a piece is which fibre.

In: the yarns of a piece as `FibrePart`s, grams of fibre only (no dye, mordant, bars, buttons).
Out: whole percentages by largest remainder, summing to 100, in falling order, each with its
working. No text read of the US, EU or UK rules says how to round; largest remainder is our
choice. Yarn is weighed as it is, with the moisture it holds.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from math import floor

from provenance.figures.working import Figure, given, product, quotient, total
from provenance.problems import Place, Said, Slip, Words, chained, did_you_mean
from provenance.reference.fibres import Fibre, fibre_names, find_fibre

TOLERANCE = 3  # percentage points, see `agrees`
KNOWN_USES = (
    "warp", "weft", "pile", "ground", "ornament", "lining", "filling", "backing", "trimming",
    "sewing",
)  # fmt: skip
_ROLES = {use: use for use in KNOWN_USES} | {"sewing thread": "sewing", "embroidery": "ornament"}


@dataclass(frozen=True, slots=True)
class FibrePart:
    """One fibre of one yarn: what it does in the piece, what it is, how many grams.

    `use` is in the maker's words; a blended yarn is one part per fibre. `section` names a part
    of the piece that is labelled by itself (front, back). `is_functional`: a little of it does
    a job (elastane for stretch). `is_extraneous`: got in unavoidably in the making.
    `is_warm`: there for warmth. `is_told`: something is said of it. Not `is_weighed`: its grams
    only part its fibres. `working` says how the grams were reached, where not simply weighed.
    """

    use: str
    fibre: str
    grams: Fraction
    place: Place | None = None
    section: str = ""
    is_recycled: bool = False
    is_virgin: bool = False
    is_functional: bool = False
    is_extraneous: bool = False
    is_warm: bool = False
    is_told: bool = False
    is_weighed: bool = True
    working: Figure | None = None

    @property
    def roles(self) -> frozenset[str]:
        """What the part does, in words of `KNOWN_USES`; any other word counts as body."""
        return use_words(self.use)


@dataclass(frozen=True, slots=True)
class FibreShare:
    """One line of a composition; `working` ends in the whole percentage.

    `low` and `high` are the least and the most, in per cent, that the record leaves open; not
    `is_certain`: they lie too far apart for a percentage to be stated.
    """

    fibre: str
    grams: Fraction
    percent: int
    working: Figure
    low: Fraction
    high: Fraction
    is_certain: bool = True


def shares(parts: Sequence[FibrePart]) -> tuple[FibreShare, ...]:
    """The plain composition for tags and pages: every fibre by weight, sewing thread left out.

    Raises Slip for a fibre name that nobody knows.
    """
    return apportion(grouped(woven(parts), lambda part: fibre_of(part).name))


def content_words(content: Sequence[FibreShare], market: str = "UK") -> Said:
    """A composition: "84 % wool, 16 % linen", for the US "84% Wool / 16% Linen"."""
    if market != "US":
        return statement(content)
    return us_statement([replace(one, fibre=known_fibre(one.fibre).us) for one in content])


def statement(content: Sequence[FibreShare]) -> Said:
    """Shares as one line, fibres in the language."""
    return _line("content", content, [Said("form.fibre", name=one.fibre) for one in content])


def us_statement(content: Sequence[FibreShare]) -> Said:
    """Shares as one line by the names that US law has."""
    return _line("us_content", content, [one.fibre for one in content])


def _line(group: str, content: Sequence[FibreShare], names: Sequence[Words]) -> Said:
    """Nothing of several fibres is ever called 100 or 0 %; what is not certain has no share.

    "100 %" is for a single fibre only (16 CFR 300.17; Reg. 1007/2011 Art. 7), so shares that
    round to 100 and 0 are said as "over 99" and "under 1".
    """
    ends = {100: "over", 0: "under"} if len(content) > 1 else {}
    shares = [
        Said(f"{group}.{ends.get(one.percent, 'share')}", percent=one.percent, fibre=name)
        if one.is_certain
        else Said(f"{group}.unshared", fibre=name)
        for one, name in zip(content, names, strict=True)
    ]
    return chained(f"{group}.beside", shares)


def woven(parts: Sequence[FibrePart]) -> tuple[FibrePart, ...]:
    """The parts that count as fibre content: with weight, and not sewing thread."""
    return tuple(part for part in parts if part.grams > 0 and is_cloth(part))


def is_cloth(part: FibrePart) -> bool:
    """Whether a part counts as fibre content: all but sewing thread."""
    return part.roles != {"sewing"}


def known_fibre(name: str) -> Fibre:
    """The fibre of that name. Raises Slip, with the nearest name, where there is none."""
    fibre = find_fibre(name)
    if fibre is None:
        raise Slip(Said("find.no_fibre", name=name), did_you_mean(name, fibre_names()))
    return fibre


def fibre_of(part: FibrePart) -> Fibre:
    """The fibre of a part, with its recycled name where it is marked as recycled."""
    fibre = known_fibre(part.fibre)
    if part.is_recycled and not fibre.is_unknown and not fibre.is_recycled:
        return known_fibre(f"recycled {fibre.name}")
    return fibre


def grouped(
    parts: Sequence[FibrePart], named: Callable[[FibrePart], str]
) -> dict[str, tuple[FibrePart, ...]]:
    """The parts under the name that `named` gives each, names in order of first use."""
    found: dict[str, tuple[FibrePart, ...]] = {}
    for part in parts:
        name = named(part)
        found[name] = (*found.get(name, ()), part)
    return found


def apportion(groups: Mapping[str, Sequence[FibrePart]]) -> tuple[FibreShare, ...]:
    """Whole percentages that sum to 100, falling; equal weights stand in order of the alphabet."""
    masses = {name: total(name, [*map(_mass, parts)]) for name, parts in groups.items()}
    if not masses:
        return ()
    everything = total(Said("shares.all_fibre"), list(masses.values()), "g")
    hundred = given(Said("shares.hundred"), 100)
    exact = {
        name: product(name, quotient(name, mass, everything, unit="share"), hundred, unit="%")
        for name, mass in masses.items()
    }
    whole = largest_remainder({name: figure.value for name, figure in exact.items()})
    order = sorted(masses, key=lambda name: (-masses[name].value, name))
    return tuple(
        FibreShare(
            name, masses[name].value, whole[name], _evened(exact[name], whole[name]),
            exact[name].value, exact[name].value,
        )
        for name in order
    )  # fmt: skip


def agrees(stated: Sequence[FibreShare], found: Sequence[FibreShare]) -> bool:
    """Whether a mixture is within the legal tolerance of what is stated, in the same order.

    Three points of the total fibre weight: Regulation (EU) No 1007/2011 Art. 20(3), read in the
    text; 16 CFR 303.43 (heading read, figure from memory).
    """
    return _agrees(stated, {one.fibre: one.low for one in found})


def _agrees(stated: Sequence[FibreShare], found: Mapping[str, Fraction]) -> bool:
    parts = dict(found)
    falling = sorted(stated, key=lambda one: -one.low)
    exact = [parts.pop(one.fibre, Fraction(0)) for one in falling]
    is_all = len(falling) == 1
    is_near = all(
        within_tolerance(one.percent, part, is_all=is_all)
        for part, one in zip(exact, falling, strict=True)
    )
    return is_near and not parts and exact == sorted(exact, reverse=True)


def within_tolerance(stated: int, found: Decimal | Fraction, *, is_all: bool | None = None) -> bool:
    """Whether what is found, in per cent, agrees with a stated share: 3 points, none for "100 %".

    A stated 100 is all there is, unless told otherwise ("over 99 %" is kept as 100).
    """
    apart = abs(Fraction(found) - stated)
    is_exact = stated == 100 if is_all is None else is_all
    return apart == 0 if is_exact else apart <= TOLERANCE


def bounded(
    stated: Sequence[FibreShare], mixtures: Sequence[Mapping[str, Fraction]]
) -> tuple[FibreShare, ...]:
    """The shares with the least and the most of each in any of the mixtures, each fibre's share
    of them in per cent."""
    is_certain = all(_agrees(stated, found) for found in mixtures)
    every = [{one.fibre: one.low for one in stated}, *mixtures]
    ends = {one.fibre: [found.get(one.fibre, Fraction(0)) for found in every] for one in stated}
    return tuple(
        replace(
            share, low=min(ends[share.fibre]), high=max(ends[share.fibre]), is_certain=is_certain
        )
        for share in stated
    )


def largest_remainder(exact: Mapping[str, Fraction]) -> dict[str, int]:
    """Whole numbers with the sum of `exact`; the largest left-over parts are rounded up.

    None is off by 1 or more, and a larger share never gets fewer. `exact` must sum to a whole.
    """
    whole = {name: floor(value) for name, value in exact.items()}
    lacking = int(sum(exact.values())) - sum(whole.values())
    by_rest = sorted(exact, key=lambda name: (whole[name] - exact[name], -exact[name], name))
    for name in by_rest[:lacking]:
        whole[name] += 1
    return whole


@lru_cache(maxsize=1024)
def use_words(use: str) -> frozenset[str]:
    """The known words of a use ("warp and weft"); everything else is "body"."""
    words = (" ".join(word.split()) for word in re.split(r"\band\b|[,&+/]", use.casefold()))
    roles = frozenset(_ROLES.get(word, "body") for word in words if word)
    return roles or frozenset({"body"})


def _mass(part: FibrePart) -> Figure:
    return part.working or given(part.use or part.fibre, part.grams, "g", part.place)


def _evened(exact: Figure, whole: int) -> Figure:
    rest = given(Said("shares.remainder"), whole - exact.value, "%")
    return total(exact.what, [exact, rest], "%")
