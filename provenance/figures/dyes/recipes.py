"""Every colour of the dye book as a recipe that can be made again.

In: the book, its flow, colours measured from swatch photos. Out: for each dyed lot, and each yarn
dyed in place that has a colour, the yarn it was, its baths in order (an over-dyed lot brings all
of them), and the amounts for another weight of fibre with what the shelf lacks. An exhaust bath
takes no new dyestuff: what it needs is the pot that was left.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.dyes.dosing import RecipeLine, scale_recipe
from provenance.figures.dyes.dye_day import kinds_of
from provenance.figures.flow.flow import Flow
from provenance.figures.flow.gather import dose_grams
from provenance.figures.flow.makeup import (
    base_yarn,
    baths_of,
    colour_of,
    composition,
    use_composition,
)
from provenance.problems import Said, Words, chained
from provenance.records.baths import Dyeing, Heat, Step
from provenance.records.book import Book
from provenance.records.pieces import Piece, YarnUse

BASE = Fraction(100)


@dataclass(frozen=True, slots=True)
class Dosed:
    """One thing in one bath: grams for 100 g of fibre."""

    what: str
    grams: Fraction
    step: int


@dataclass(frozen=True, slots=True)
class PotOf:
    """One bath of a recipe: its doses, and how each step was done.

    `exhaust_of` is the bath whose pot it used.
    """

    bath: str
    doses: tuple[Dosed, ...]
    steps: tuple[Said, ...]
    exhaust_of: str = ""


@dataclass(frozen=True, slots=True)
class Recipe:
    """A colour that was made before: its lot, colour, yarn and how that dyes, baths in order."""

    lot: str
    colour: str
    yarn: str
    yarn_colour: str
    kinds: tuple[str, ...]
    pots: tuple[PotOf, ...]


def recipes(book: Book, swatches: Mapping[str, str]) -> tuple[Recipe, ...]:
    """Every recipe whose colour is known, in the order of the records."""
    lots = (str(entry.becomes) for bath in book.baths.values() for entry in bath.dyed)
    dyed = (_of_lot(book, lot, swatches) for lot in lots)
    in_place = (
        _in_place(book, piece, use)
        for piece in book.pieces.values()
        for use in piece.yarns
        if use.colour and (use.dyes or use.after)
    )
    return tuple(recipe for recipe in (*dyed, *in_place) if recipe.colour and recipe.pots)


def recipe_named(book: Book, name: str, swatches: Mapping[str, str]) -> Recipe | None:
    """The recipe of a dyed lot, or of a yarn dyed in place, whether its colour is known or not."""
    if name in book.dyed and name not in book.yarns:
        return _of_lot(book, name, swatches)
    for piece in book.pieces.values():
        for use in piece.yarns:
            if in_place_name(piece, use) == name and (use.dyes or use.mordants or use.after):
                return _in_place(book, piece, use)
    return None


def in_place_name(piece: Piece, use: YarnUse) -> str:
    """What the recipe of a yarn dyed for one piece is called: `2026-014 weft`."""
    return f"{piece.number} {use.use}".strip()


def scaled(book: Book, flow: Flow, recipe: Recipe, grams: Fraction) -> tuple[RecipeLine, ...]:
    """Amounts for so much fibre, bath by bath, and what the shelf lacks for them."""
    amounts = [(dose.what, dose.grams) for pot in recipe.pots for dose in pot.doses]
    return scale_recipe(amounts, BASE, grams, shelf(book, flow))


def shelf(book: Book, flow: Flow) -> dict[str, Fraction]:
    """Grams left of every dyestuff and bath help that was weighed when it came."""
    return {
        key.name: flow.left(key)
        for key in flow.nodes
        if key.kind in ("dyestuff", "mordant") and is_weighed(book, key.name)
    }


def is_weighed(book: Book, what: str) -> bool:
    """Whether the record tells how much of it there is."""
    lot = book.dyestuffs.get(what) or book.mordants.get(what)
    return lot is not None and lot.weight is not None


def _of_lot(book: Book, lot: str, swatches: Mapping[str, str]) -> Recipe:
    base = base_yarn(book, lot)
    colour = colour_of(book, lot, swatches)
    natural, kinds = colour_of(book, base, swatches), kinds_of(composition(book, base))
    return Recipe(lot, colour, base, natural, kinds, _pots(book, lot))


def _pots(book: Book, lot: str) -> tuple[PotOf, ...]:
    """Every bath a lot went through, first bath first."""
    return tuple(
        _pot(
            name,
            bath.steps,
            sum((each.weight for each in bath.dyed), Fraction(0)),
            str(bath.exhaust_of or ""),
        )
        for name, bath, _ in reversed(baths_of(book, lot))
    )


def _in_place(book: Book, piece: Piece, use: YarnUse) -> Recipe:
    before = _pots(book, str(use.lot)) if use.lot else ()
    base = base_yarn(book, str(use.lot)) if use.lot else str(use.fleece)
    fleece = book.fleece.get(base)
    natural = str(fleece.colour or "") if fleece else colour_of(book, base, {})
    name = in_place_name(piece, use)
    pots = (*before, _pot(name, [use], Fraction(use.weight), ""))
    kinds = kinds_of(use_composition(book, use))
    return Recipe(name, str(use.colour or ""), base, natural, kinds, pots)


def _pot(name: str, steps: Iterable[Dyeing], fibre: Fraction, exhaust_of: str) -> PotOf:
    steps = tuple(steps)
    doses = [
        Dosed(str(what), dose_grams(dose, fibre) / fibre * BASE, turn)
        for turn, step in enumerate(steps)
        for what, dose in (*step.mordants.items(), *step.dyes.items(), *step.after.items())
        if fibre
    ]
    return PotOf(name, tuple(doses), tuple(_done(step) for step in steps), exhaust_of)


def _done(step: Dyeing) -> Said:
    """How a step was done: `85 C for 1 h, rain water`; silence when nothing is noted."""
    found: list[Words | None] = [_heated(step.heat) if step.heat else None]
    if isinstance(step, Step):
        found += [
            Said("step.dips", dips=step.dips.written, number=int(step.dips)) if step.dips else None,
            Said("step.time", time=step.time.written) if step.time else None,
            _watered(step.water) if step.water else None,
            Said("step.ph", ph=step.ph) if step.ph else None,
        ]
    return chained("step.next", filter(None, found))


def _watered(water: str) -> Words:
    """rain water; as it stands where the maker wrote so much: Regenwasser."""
    said = water.casefold().endswith(("water", "wasser"))
    return str(water) if said else Said("step.water", water=water)


def _heated(heat: Heat) -> Words:
    if heat.hours is None:
        return heat.celsius.written if heat.celsius is not None else ""
    held = Said("step.held", hours=heat.hours.written)
    if heat.celsius is None:
        return held
    return Said("step.heat", at=heat.celsius.written, held=held)
