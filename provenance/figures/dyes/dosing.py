"""Hazards, chains of baths in words, and scaling a recipe to another weight of fibre.

In: names as the maker wrote them and exact numbers (grams). Out: figures with their working, and
rows of the tables that have a hazard, whose sources are named wherever it is told.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from provenance.figures.working import Figure, Number, given, product, quotient, rounded
from provenance.problems import Said, chained
from provenance.reference.dyes import Dye
from provenance.reference.mordants import Mordant
from provenance.reference.poisons import Poison, find_stuff


@dataclass(frozen=True, slots=True)
class RecipeLine:
    """One amount of a scaled recipe, to 0.1 g; grams the shelf has left for it, and lacks."""

    what: str
    grams: Figure
    on_shelf: Fraction
    lacking: Fraction


def hazards(names: Iterable[str]) -> tuple[Dye | Mordant | Poison, ...]:
    """Every dyestuff and bath help named that has a hazard, each once, in the order named."""
    return tuple(dict.fromkeys(row for row in map(find_stuff, names) if row and row.hazard))


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
