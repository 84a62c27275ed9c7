"""Doses, remarks on a dye bath, hazards, and scaling a recipe to another weight of fibre.

In: names as the maker wrote them and exact numbers (per cent of dry fibre, grams, degrees C).
Out: figures with their working, remarks (never errors) and hazards. Ranges and hazards come
from the tables of dyes and mordants, whose sources are named in every remark.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import groupby

from provenance.figures.working import Figure, Number, given, product, quotient, rounded
from provenance.problems import Said, chained
from provenance.reference.dyes import Dye, find_dye
from provenance.reference.fibres import find_fibre
from provenance.reference.mordants import Mordant, find_mordant
from provenance.reference.sourced import Span, cited


@dataclass(frozen=True, slots=True)
class RecipeLine:
    """One amount of a scaled recipe, to 0.1 g; grams the shelf has left for it, and lacks."""

    what: str
    grams: Figure
    on_shelf: Fraction
    lacking: Fraction


def share_remark(name: str, percent: Decimal) -> Said | None:
    """A remark when a mordant's share of the fibre lies outside the usual range."""
    row = find_mordant(name)
    usual = row.usual if row else None
    if row is None or usual is None or usual.holds(percent):
        return None
    about = {
        "name": stuff(name),
        "share": Said("form.ungrouped", value=percent, places=6),
        "usual": _worded(usual),
        "source": cited(usual.source),
    }
    if usual.high is None or percent <= usual.high:
        return Said("dosing.below", **about)
    if row.beyond:
        return Said("dosing.beyond", harm=Said(f"beyond.{row.name}"), **about)
    return Said("dosing.above", **about)


def heat_remark(dyes: Mapping[str, str], celsius: Decimal, fibre: str = "wool") -> Said | None:
    """A remark when a bath is hotter than its dyes like; vat limits hold for wool and hair only.

    `dyes` are species, or names, with what the maker calls them.
    """
    found = []
    for known, name in dyes.items():
        dye = find_dye(known)
        if dye and dye.heat and celsius > dye.heat.celsius and _concerns(dye.heat.fibres, fibre):
            limit, source, harm = dye.heat.celsius, cited(dye.heat.source), Said(f"heat.{dye.name}")
            said = Said("dosing.heat", name=stuff(name), limit=limit, harm=harm, source=source)
            found.append(said)
    return chained("dosing.besides", dict.fromkeys(found)) or None


def missing_mordant(dyes: Mapping[str, str], *, has_mordant: bool) -> Said | None:
    """A remark when dyes that need a mordant are on yarn that carries none.

    Indigo, walnut, tannins and lichens need none; cochineal is recorded either way. `dyes` are
    species, or names, with what the maker calls them.
    """
    found = ((find_dye(known), name) for known, name in dyes.items())
    wanting = tuple(stuff(name) for dye, name in found if dye and dye.mordant == "needed")
    if has_mordant or not wanting:
        return None
    return Said("dosing.unmordanted", dyes=wanting, number=len(wanting))


def mordant_remark(name: str) -> Said | None:
    """The hazard of copper, tin or chrome in a few words (chrome: not to be used), else None."""
    row = find_mordant(name)
    if row is None or not row.grave or row.hazard is None:
        return None
    grave, source = Said(f"grave.{row.name}"), cited(row.hazard.source)
    return Said("dosing.grave", name=stuff(name), grave=grave, source=source)


def hazards(names: Iterable[str]) -> tuple[Dye | Mordant, ...]:
    """Every dyestuff and bath help named that has a hazard, each once, in the order named."""
    rows = (row for name in names for row in (find_mordant(name), find_dye(name)))
    return tuple(dict.fromkeys(row for row in rows if row and row.hazard))


def stuff(name: str) -> Said:
    """A dyestuff or bath help: what the tables know is told in the language, a lot by its name."""
    return Said("form.stuff", name=name)


def chain_words(baths: Iterable[Sequence[str]]) -> Said:
    """Dye baths in order: [["weld"], ["indigo"]] is "weld, then indigo"."""
    groups = [Said("form.listed", items=tuple(map(stuff, bath))) for bath in baths if bath]
    return chained("dyeing.then", (group for group, _ in groupby(groups)))


def scale_recipe(
    amounts: Sequence[tuple[str, Number]],
    from_grams: Number,
    to_grams: Number,
    shelf: Mapping[str, Number],
) -> tuple[RecipeLine, ...]:
    """A bath's amounts (grams) for another weight of fibre, and what the shelf lacks.

    A thing used twice takes from the shelf in the order listed. ValueError without fibre.
    """
    if not from_grams:
        raise ValueError("a recipe needs the weight of fibre it was made for")
    base = given(Said("recipe.fibre_then"), from_grams, "g")
    wanted = given(Said("recipe.fibre_now"), to_grams, "g")
    left = {name: Fraction(grams) for name, grams in shelf.items()}
    lines = []
    for what, amount in amounts:
        then = given(Said("recipe.amount_then"), amount, "g")
        both = product(Said("recipe.for_now"), then, wanted)
        grams = rounded(quotient(what, both, base, unit="g"), 1)
        there = left.get(what, Fraction(0))
        left[what] = max(there - grams.value, Fraction(0))
        lines.append(RecipeLine(what, grams, there, max(grams.value - there, Fraction(0))))
    return tuple(lines)


def is_wool_like(fibre: str) -> bool:
    """Whether a fibre is wool or another animal's hair: "virgin wool", "alpaca"."""
    found = find_fibre(fibre)
    return found is not None and found.group in ("wool", "hair")


def _worded(usual: Span) -> Said:
    """A range: 6 to 25 %, 5 % at most."""
    if usual.low is None or usual.high is None:
        end = "most" if usual.low is None else "least"
        return Said(f"dosing.at_{end}", end=usual.high if usual.low is None else usual.low)
    if usual.low == usual.high:
        return Said("dosing.just", share=usual.low)
    return Said("dosing.span", low=usual.low, high=usual.high)


def _concerns(fibres: tuple[str, ...], fibre: str) -> bool:
    return not fibres or fibre in fibres or ("wool" in fibres and is_wool_like(fibre))
