"""What a commission takes from the shelf, what the shelf lacks, and the hours to make that good.

In: the strands of one size. Out: grams of yarn, fleece, dyestuff and mordant with what is left of
each, and the spinning and dyeing still to be done. A natural lot cannot be matched again: when
what is left of a dyed lot does not reach, the whole of that colour is dyed anew, in one bath, with
the spare. Yarn that is not on the shelf is spun from its fleeces, by their yields.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from provenance.figures.dyes.recipes import Recipe, is_weighed, recipe_named, shelf
from provenance.figures.flow.flow import Key, carried_hours
from provenance.figures.flow.gather import yield_of
from provenance.figures.flow.own_workings import grease_working
from provenance.figures.quotation.cloth import Asked
from provenance.figures.quotation.yarn import Strand
from provenance.figures.working import Figure, difference, given, product, quotient, total

ORDER = ("dyed", "yarn", "fleece", "dyestuff", "mordant")
SPINNING = ("sorting", "scouring", "washing", "picking", "combing", "carding", "blending",
            "spinning", "plying", "skeining", "winding")  # fmt: skip


@dataclass(frozen=True, slots=True)
class Need:
    """So much of one lot; `lacking` is what the shelf does not hold, in grams.

    `is_weighed` is False where the record does not tell how much there is; `is_in_yarn` says that a
    fleece is for yarn that stands among the needs itself.
    """

    what: str
    kind: str
    grams: Figure
    on_shelf: Figure
    is_weighed: bool = True
    is_in_yarn: bool = False

    @property
    def lacking(self) -> Figure:
        """Nothing below nothing: what is missing on the shelf."""
        if not self.is_weighed or self.grams.value <= self.on_shelf.value:
            return given(f"{self.what}, lacking", 0, "g")
        return difference(f"{self.what}, lacking", self.grams, self.on_shelf)


@dataclass(frozen=True, slots=True)
class Making:
    """Spinning or dyeing to be done before the loom is dressed: grams and hours of it."""

    way: str  # spin, dye or buy
    what: str
    grams: Figure
    hours: Figure | None
    recipe: str = ""
    exhaust_of: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Needs:
    """All that one size takes, and what is to be made for it."""

    lines: tuple[Need, ...]
    makings: tuple[Making, ...]
    pots: tuple[str, ...]  # baths to be heated again

    @property
    def lacking(self) -> tuple[Need, ...]:
        return tuple(need for need in self.lines if need.lacking.value)


def needs_for(asked: Asked, strands: Sequence[Strand]) -> Needs:
    """What the strands take: dyed lots as far as they reach, else yarn and a new bath."""
    dyed, to_dye = _split(asked, strands)
    lines = [_need(asked, "dyed", lot, terms) for lot, terms in dyed.items()]
    yarns: dict[str, list[Figure]] = {}
    for strand in strands:
        if strand.lot not in dyed:
            yarns.setdefault(strand.base, []).append(strand.with_spare)
    makings, fleeces = [], dict[str, list[Figure]]()
    for lot, terms in yarns.items():
        if lot in asked.book.fleece:
            lines.append(_need(asked, "fleece", lot, [_greased(asked, lot, terms)]))
            continue
        need = _need(asked, "yarn", lot, terms)
        lines.append(need)
        if need.lacking.value:
            makings.append(_spin_or_buy(asked, lot, need.lacking))
            for name, grease in _grease(asked, lot, need.lacking):
                fleeces.setdefault(name, []).append(grease)
    for name, terms in fleeces.items():
        lines.append(replace(_need(asked, "fleece", name, terms), is_in_yarn=True))
    recipes = [(strand, _recipe(asked, strand)) for strand in to_dye]
    lines += _doses(asked, recipes)
    makings += [_dye(asked, strand, recipe) for strand, recipe in recipes]
    pots = tuple(dict.fromkeys(pot.bath for _, each in recipes if each for pot in each.pots))
    ordered = sorted(lines, key=lambda need: ORDER.index(need.kind))
    return Needs(tuple(ordered), tuple(makings), pots)


def _split(asked: Asked, strands: Sequence[Strand]) -> tuple[dict[str, list[Figure]], list[Strand]]:
    """Dyed lots that reach, with what is taken of them; and the strands that must be dyed."""
    wanted: dict[str, list[Figure]] = {}
    for strand in strands:
        if strand.lot and strand.lot != strand.base:
            wanted.setdefault(strand.lot, []).append(strand.with_spare)
    enough = {
        lot: terms
        for lot, terms in wanted.items()
        if sum(term.value for term in terms) <= _left(asked, "dyed", lot)
    }
    to_dye = [each for each in strands if each.recipe and each.lot not in enough]
    undyed = [each for each in strands if each.near and not each.recipe]
    return enough, to_dye + undyed


def _left(asked: Asked, kind: str, name: str) -> Fraction:
    key = Key(kind, name)
    return asked.flow.left(key) if key in asked.flow.nodes else Fraction(0)


def _need(asked: Asked, kind: str, name: str, terms: Sequence[Figure]) -> Need:
    node = asked.flow.nodes.get(Key(kind, name))
    left = given(
        f"{name}, left on the shelf", _left(asked, kind, name), "g", node.place if node else None
    )
    grams = terms[0] if len(terms) == 1 else total(name, terms, "g")
    return Need(name, kind, grams, left, is_weighed=node is not None and node.holds is not None)


def _recipe(asked: Asked, strand: Strand) -> Recipe | None:
    return recipe_named(asked.book, strand.recipe, asked.swatches) if strand.recipe else None


def _doses(asked: Asked, recipes: Sequence[tuple[Strand, Recipe | None]]) -> Iterator[Need]:
    """Dyestuffs and bath helps of every bath, added up, against the shelf."""
    wanted: dict[str, list[Figure]] = {}
    for strand, recipe in recipes:
        for dose in (dose for pot in recipe.pots for dose in pot.doses) if recipe else ():
            hundred = given(f"{dose.what} for 100 g of fibre", dose.grams, "g")
            share = quotient(f"{dose.what}, share", hundred, given("fibre", 100, "g"))
            grams = product(f"{dose.what} for {strand.name}", strand.with_spare, share, unit="g")
            wanted.setdefault(dose.what, []).append(grams)
    left = shelf(asked.book, asked.flow)
    for what, terms in wanted.items():
        kind = "mordant" if what in asked.book.mordants else "dyestuff"
        there = given(f"{what}, left on the shelf", left.get(what, Fraction(0)), "g")
        grams = terms[0] if len(terms) == 1 else total(what, terms, "g")
        yield Need(what, kind, grams, there, is_weighed=is_weighed(asked.book, what))


def _greased(asked: Asked, lot: str, terms: Sequence[Figure]) -> Figure:
    """Fleece, in the grease, for yarn spun from it for this piece alone."""
    fleece, yarn = asked.book.fleece[lot], total(f"yarn of {lot}", terms, "g")
    return grease_working(fleece, yarn.value, fleece.weight.place)


def _grease(asked: Asked, lot: str, lacking: Figure) -> Iterator[tuple[str, Figure]]:
    """Fleece, in the grease, for yarn that is lacking; a blend in the shares it was made in."""
    yarn = asked.book.yarns.get(lot)
    parts = {
        str(name): Fraction(put_in or 1) * yield_of(asked.book.fleece[str(name)])[0]
        for name, put_in in ((yarn and yarn.fleece) or {}).items()
        if name in asked.book.fleece
    }
    whole = sum(parts.values())
    for name, part in parts.items():
        fleece = asked.book.fleece[name]
        if whole:
            grams = lacking.value * part / whole
            yield name, grease_working(fleece, grams, fleece.weight.place)


def _spin_or_buy(asked: Asked, lot: str, lacking: Figure) -> Making:
    yarn = asked.book.yarns.get(lot)
    if yarn is None or not yarn.fleece:
        return Making("buy", lot, lacking, None)
    key = Key("yarn", lot)
    spent = [carried_hours(asked.flow, key, each)
             for each in asked.flow.loads[key].hours if each in SPINNING]  # fmt: skip
    return Making("spin", lot, lacking, _for_grams(asked, key, spent, lacking))


def _for_grams(asked: Asked, key: Key, spent: Sequence[Figure], grams: Figure) -> Figure | None:
    """Hours for so many grams, as they were for the lot."""
    whole = given(f"{key.name} in all", asked.flow.whole(key), "g")
    if not spent or not whole.value:
        return None
    hours = total(f"spinning {key.name}", spent, "h")
    return product(
        f"spinning {key.name} again", quotient("hours for a gram", hours, whole), grams, unit="h"
    )


def _dye(asked: Asked, strand: Strand, recipe: Recipe | None) -> Making:
    """One bath for one colour; the hours of a pot are those of the pot it follows."""
    spent = [hours for pot in (recipe.pots if recipe else ()) for hours in _pot(asked, pot.bath)]
    hours = total(f"dyeing {strand.name}", spent, "h") if spent else None
    exhausts = tuple(pot.exhaust_of for pot in recipe.pots if pot.exhaust_of) if recipe else ()
    return Making("dye", strand.name, strand.with_spare, hours, strand.recipe, exhausts)


def _pot(asked: Asked, bath: str) -> Iterator[Figure]:
    """The hours of one bath, by activity."""
    node = asked.flow.nodes.get(Key("bath", bath))
    for activity, hours in node.own.hours.items() if node else ():
        plainly = given(f"{activity}, bath {bath}", hours, "h", node.place if node else None)
        yield node.workings.get(activity, plainly) if node else plainly
