"""Doses, remarks on a dye bath, cautions, and scaling a recipe to another weight of fibre.

In: names as the maker wrote them and exact numbers (per cent of dry fibre, grams, degrees C).
Out: figures with their working, remarks in words (never errors) and cautions. Ranges and
hazards come from the tables of dyes and mordants, whose sources are named in every remark.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from provenance.figures.working import (
    Figure,
    Number,
    given,
    plain,
    product,
    quotient,
    rounded,
)
from provenance.reference.dyes import Dye, Protected, find_dye
from provenance.reference.mordants import Mordant, find_mordant
from provenance.reference.sourced import Note, Span

WOOL_LIKE = frozenset(
    {"wool", "mohair", "cashmere", "cashgora", "alpaca", "llama", "camel", "vicuna", "guanaco"}
    | {"yak", "angora", "hair"}
)


@dataclass(frozen=True, slots=True)
class Caution:
    """A short hazard for the maker's papers; the supplier's safety sheet and local codes rule."""

    name: str
    words: str
    disposal: str
    source: str
    sure: str


@dataclass(frozen=True, slots=True)
class ProtectedDye:
    """A dye in the piece whose plant or trade is guarded, and by what."""

    dye: str
    status: Protected


@dataclass(frozen=True, slots=True)
class RecipeLine:
    """One amount of a scaled recipe, to 0.1 g; grams the shelf has left for it, and lacks."""

    what: str
    grams: Figure
    on_shelf: Fraction
    lacking: Fraction


def dose(share_percent: Number | Figure, dry_grams: Number | Figure, what: str = "dose") -> Figure:
    """Grams for a share of the dry weight of fibre: 10 % on 106 g is 10.6 g."""
    share = _figure("share of fibre", share_percent, "%")
    dry = _figure("dry fibre", dry_grams, "g")
    return quotient(what, product("share x fibre", share, dry), given("per cent", 100), unit="g")


def share(grams: Number | Figure, dry_grams: Number | Figure, what: str = "share") -> Figure:
    """Per cent of the dry weight of fibre: 4 oz to the pound is 25 %. ValueError without fibre."""
    dry = _figure("dry fibre", dry_grams, "g")
    if not dry.value:
        raise ValueError("a share needs a weight of fibre")
    amount = _figure("amount", grams, "g")
    return quotient(what, product("amount x 100", amount, given("per cent", 100)), dry, unit="%")


def share_remark(kind: str, name: str, percent: Decimal) -> str | None:
    """A remark when a share of fibre lies outside the usual range; kind is "mordant" or "dye"."""
    row = find_dye(name) if kind == "dye" else find_mordant(name)
    usual = _usual(row)
    if usual is None or usual.holds(percent):
        return None
    is_above = usual.high is not None and percent > usual.high
    harm = f": {row.beyond}" if is_above and isinstance(row, Mordant) and row.beyond else ""
    side = "above" if is_above else "below"
    said = f"{name} at {plain(percent)} % of the fibre is {side} the usual {usual.worded('%')}"
    return f"{said}{harm} ({usual.source})"


def heat_remark(dyes: Iterable[str], celsius: Decimal, fibre: str = "wool") -> str | None:
    """A remark when a bath is hotter than its dyes like; vat limits hold for wool and hair only."""
    found = []
    for name in dyes:
        dye = find_dye(name)
        if dye and dye.heat and celsius > dye.heat.celsius and _concerns(dye.heat.fibres, fibre):
            limit = f"{plain(dye.heat.celsius)} °C"
            found.append(f"{name} above {limit}: {dye.heat.above} ({dye.heat.source})")
    return "; ".join(dict.fromkeys(found)) or None


def missing_mordant(dyes: Iterable[str], *, has_mordant: bool) -> str | None:
    """A remark when dyes that need a mordant are on yarn that carries none.

    Indigo, walnut, tannins and lichens need none; cochineal is recorded either way.
    """
    if has_mordant:
        return None
    wanting = [name for name in dict.fromkeys(dyes) if _needs_mordant(name)]
    if not wanting:
        return None
    verb = "holds" if len(wanting) == 1 else "hold"
    return f"{listed(wanting)} {verb} only on a mordant, and this yarn carries none"


def mordant_remark(name: str) -> str | None:
    """The hazard of copper, tin or chrome in a few words (chrome: not to be used), else None."""
    row = find_mordant(name)
    if row is None or not row.grave or row.hazard is None:
        return None
    return f"{name}: {row.grave} ({row.hazard.source})"


def hazards(names: Iterable[str]) -> tuple[Caution, ...]:
    """Cautions for every dyestuff and bath help named, each once, in the order named."""
    found: dict[str, Caution] = {}
    for name in names:
        for row in (find_mordant(name), find_dye(name)):
            if row and row.hazard and row.name not in found:
                found[row.name] = _caution(row, row.hazard)
    return tuple(found.values())


def protected(names: Iterable[str]) -> tuple[ProtectedDye, ...]:
    """Laws and requests that guard the plants and animals behind the dyes, each dye once."""
    dyes = dict.fromkeys(dye for dye in map(find_dye, names) if dye and dye.protected)
    return tuple(ProtectedDye(dye.name, status) for dye in dyes for status in dye.protected)


def chain_words(baths: Iterable[Sequence[str]]) -> str:
    """Dye baths in order: [["weld"], ["indigo"]] is "weld, then indigo"."""
    groups: list[str] = []
    for bath in baths:
        said = listed(bath)
        if said and groups[-1:] != [said]:
            groups.append(said)
    return ", then ".join(groups)


def listed(names: Sequence[str]) -> str:
    """Names as in a sentence: "a", "a and b", "a, b and c"."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def scale_recipe(
    amounts: Sequence[tuple[str, Number | Figure]],
    from_grams: Number | Figure,
    to_grams: Number | Figure,
    shelf: Mapping[str, Number],
) -> tuple[RecipeLine, ...]:
    """A bath's amounts (grams) for another weight of fibre, and what the shelf lacks.

    A thing used twice takes from the shelf in the order listed. ValueError without fibre.
    """
    base = _figure("fibre then", from_grams, "g")
    if not base.value:
        raise ValueError("a recipe needs the weight of fibre it was made for")
    wanted = _figure("fibre now", to_grams, "g")
    left = {name: Fraction(grams) for name, grams in shelf.items()}
    lines = []
    for what, amount in amounts:
        grams = _scaled(what, _figure("amount then", amount, "g"), base, wanted)
        there = left.get(what, Fraction(0))
        left[what] = max(there - grams.value, Fraction(0))
        lines.append(RecipeLine(what, grams, there, max(grams.value - there, Fraction(0))))
    return tuple(lines)


def is_wool_like(fibre: str) -> bool:
    """Whether a fibre is wool or another animal's hair: "virgin wool", "alpaca"."""
    return bool(WOOL_LIKE & set(fibre.casefold().split()))


def _scaled(what: str, amount: Figure, base: Figure, wanted: Figure) -> Figure:
    exact = quotient(what, product("amount x fibre now", amount, wanted), base, unit="g")
    return rounded(exact, 1)


def _figure(what: str, value: Number | Figure, unit: str) -> Figure:
    return value if isinstance(value, Figure) else given(what, value, unit)


def _usual(row: Dye | Mordant | None) -> Span | None:
    """The usual range; a dye that is also sold as an extract may go as low as the extract does."""
    if isinstance(row, Mordant):
        return row.usual
    if row is None:
        return None
    raw, extract = row.share, row.share_extract
    if raw is None or extract is None:
        return raw or extract
    source = f"{raw.source}; extract: {extract.source}"
    return Span(extract.low, raw.high, source, raw.sure)


def _concerns(fibres: tuple[str, ...], fibre: str) -> bool:
    return not fibres or fibre in fibres or ("wool" in fibres and is_wool_like(fibre))


def _needs_mordant(name: str) -> bool:
    dye = find_dye(name)
    return dye is not None and dye.mordant == "needed"


def _caution(row: Dye | Mordant, hazard: Note) -> Caution:
    disposal = row.disposal if isinstance(row, Mordant) else None
    told = disposal.words if disposal else ""
    return Caution(row.name, hazard.words, told, hazard.source, hazard.sure)
