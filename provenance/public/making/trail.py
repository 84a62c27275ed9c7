"""Follows a piece back to fleece and bought material, one yarn after another.

In: the view and a piece. Out: its `Making`, written from public facts alone: no cost, no
supplier, no place of storage, and no weight of dyestuff or mordant: that was weighed into the bath,
is not in the cloth, and would tell the recipe. Grams are
what the piece carries. A step is told only where the record tells it: washed locks that were
bought are not said to be scoured here.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import TypeVar

from provenance.figures.flow.flow import Flow, Key
from provenance.figures.flow.gather import in_place_key, lot_key
from provenance.figures.flow.makeup import (
    DyeStage,
    bath_stages,
    stages_in_place,
    true_mordants,
)
from provenance.figures.flow.strands import key_of
from provenance.problems import Place, Said, Slip
from provenance.public.making.steps import BEFORE_YARN, Making, Step, Thing
from provenance.public.names import called, farm_of, fleece_name, is_shorn, spoken
from provenance.public.view import View
from provenance.records.lots import Fleece, Yarn
from provenance.records.pieces import Piece
from provenance.reference.aat import Term, find_term
from provenance.reference.dyes import find_dye
from provenance.reference.fibres import find_fibre
from provenance.reference.mordants import find_mordant
from provenance.studio import Worked

Lot = TypeVar("Lot")
SPECIAL_WEAVING = ("tapestry weaving", "tablet weaving")
UNDYED = " undyed"
_ID_WORDS = {"dyed": "lot", "in place": "yarn", "dyestuff": "dye"}


def making_of(view: View, worked: Worked) -> Making:
    """The making of one piece."""
    piece = worked.record
    trail = _Trail(view, piece, _amounts(view.flow, worked))
    trail.weave()
    return Making(tuple(trail.things.values()), tuple(trail.steps))


def work_of(piece: Piece) -> str:
    """What made the yarns a piece: weaving of some kind, or another work the hours tell of."""
    structure = str(piece.structure or "").lower()
    shared = piece.shared.hours if piece.shared else {}
    hours = {str(activity) for activity in (*piece.hours, *shared)}
    if "weaving" in hours:
        special = (work for work in SPECIAL_WEAVING if work.split()[0] in structure)
        return next(special, "weaving")
    return next((work for work in ("knitting", "felting") if work in hours), "making")


def _kept(worked: Worked) -> dict[Place, Fraction]:
    """The line of each yarn's weight, and the share of it that is in the cloth."""
    held = worked.balance
    lines = zip(worked.record.yarns, held.put_in, held.cloth, strict=True)
    return {use.weight.place: cloth / put_in for use, put_in, cloth in lines if put_in}


def _amounts(flow: Flow, worked: Worked) -> dict[Key, Fraction]:
    """Grams of everything on the way into a piece, as far as they are in it, or in one of a set."""
    amounts: dict[Key, Fraction] = {}

    def walk(key: Key, share: Fraction, kept: Mapping[Place, Fraction]) -> None:
        for draw in flow.into.get(key, ()):
            here = share * kept.get(draw.place, Fraction(1))
            amounts[draw.source] = amounts.get(draw.source, Fraction(0)) + draw.amount * here
            walk(draw.source, flow.fraction(draw) * here, {})

    walk(key_of(worked.record), Fraction(1, worked.record.made), _kept(worked))
    return amounts


@dataclass(slots=True)
class _Trail:
    """Collects things and steps while the lots of a piece are followed back."""

    view: View
    piece: Piece
    amounts: dict[Key, Fraction]
    things: dict[Key, Thing] = field(default_factory=dict)
    steps: list[Step] = field(default_factory=list)

    def put(self, key: Key, thing: Thing) -> str:
        """The id of a thing, which is written down once, under an id of its own."""
        if key not in self.things:
            base = f"{_ID_WORDS.get(key.kind, key.kind)}-{_slug(key.name)}"
            taken = {thing.id for thing in self.things.values()}
            turns = (base, *(f"{base}-{turn}" for turn in range(2, len(taken) + 3)))
            free = next(each for each in turns if each not in taken)
            self.things[key] = replace(thing, id=free)
        return self.things[key].id

    def step(self, work: str, used: Iterable[str], made: str) -> None:
        name = f"step-{len(self.steps) + 1}-{work.replace(' ', '-')}"
        self.steps.append(Step(name, work, tuple(dict.fromkeys(used)), made))

    def follow_use(self, index: int) -> str:
        """One yarn of the piece."""
        use = self.piece.yarns[index]
        if not use.is_in_place:
            return self.lot(str(use.lot))
        key = in_place_key(self.piece, index)
        if key in self.things:
            return self.things[key].id
        book = self.view.book
        stages = stages_in_place(book, use)
        spun = called(book, str(use.lot or use.fleece))
        name = spoken(use.name or "") or self.view.phrases.say("label.yarn_of", lot=spun)
        if use.lot:
            lot = self.lot(str(use.lot))
            return self.dyed(key, name, lot, stages) if stages else lot
        fleeces = [_known(book.fleece, str(use.fleece))]
        hours = tuple(map(str, use.hours))
        if not stages:
            return self.spun(key, name, fleeces, hours)
        undyed = self.spun(Key("yarn", f"{key.name}{UNDYED}"), name, fleeces, hours)
        return self.dyed(key, name, undyed, stages)

    def lot(self, name: str) -> str:
        """A yarn or a dyed lot by its name, followed back to where it came from."""
        book = self.view.book
        key = lot_key(book, name)
        if key in self.things:
            return self.things[key].id
        if yarn := book.yarns.get(name):
            return self.yarn(key, yarn)
        _, bath, entry = _known(book.dyed, name)
        undyed = self.lot(str(entry.yarn))
        return self.dyed(key, called(book, name), undyed, bath_stages(book, bath))

    def yarn(self, key: Key, yarn: Yarn) -> str:
        """Yarn spun here, or bought: who sold it stays with the maker."""
        name = called(self.view.book, str(yarn.name))
        if yarn.fleece:
            fleeces = [_known(self.view.book.fleece, str(each)) for each in yarn.fleece]
            return self.spun(key, name, fleeces, tuple(map(str, yarn.hours)))
        fibres = tuple(map(str, yarn.fibre or ()))
        term = find_term("stuff", "yarn")
        return self.put(key, Thing("", "bought yarn", name, self.amounts.get(key), term, fibres))

    def spun(self, key: Key, name: str, fleeces: Sequence[Fleece], hours: Sequence[str]) -> str:
        """Yarn spun here: each work that is recorded, from the fleece on."""
        ready = [self.fleece(fleece) for fleece in fleeces]
        greasy = [self.fleece(fleece) for fleece in fleeces if fleece.scoured != 1] or ready
        is_scoured = any(fleece.scoured not in (None, 1) for fleece in fleeces)
        if is_scoured or "scouring" in hours:
            clean = self.between(key, name, "scouring")
            self.step("scouring", greasy, clean)
            ready = [clean, *(each for each in ready if each not in greasy)]
        works = [work for work in BEFORE_YARN[1:] if work in hours or work == "spinning"]
        for work in works[:-1]:
            after = self.between(key, name, work)
            self.step(work, ready, after)
            ready = [after]
        thing = Thing("", "yarn", name, self._grams(key), find_term("stuff", "yarn"))
        made = self.put(key, thing)
        self.step(works[-1], ready, made)
        return made

    def _grams(self, key: Key) -> Fraction | None:
        """Yarn that was dyed where it is written weighs what it weighs in the piece."""
        in_place = Key("in place", key.name.removesuffix(UNDYED))
        return self.amounts.get(key, self.amounts.get(in_place))

    def between(self, key: Key, name: str, work: str) -> str:
        """What stands between two steps, without a weight of its own."""
        said = self.view.phrases.say(f"making.after_{work}", name=name)
        return self.put(Key(key.kind, f"{key.name} after {work}"), Thing("", "between", said))

    def dyed(self, key: Key, name: str, undyed: str, stages: Sequence[DyeStage]) -> str:
        """A dyed lot: what was mordanted before the first dye, then all that went into the pot.

        What only helps a vat is no mordant; a bath without any dye is all mordanting.
        """
        first = [self.bath_help(each) for each in stages[0].mordants] if stages else []
        pot = [*self._in_pot(stages)]
        has_dye = any(stage.dyes for stage in stages)
        if has_dye and true_mordants(stages[0].mordants):
            mordanted = self.between(key, name, "mordanting")
            self.step("mordanting", [undyed, *first], mordanted)
            undyed, first = mordanted, []
        lot = Thing("", "lot", name, self.amounts.get(key), find_term("stuff", "yarn"))
        made = self.put(key, lot)
        work = "dyeing" if has_dye or not stages else "mordanting"
        self.step(work, [undyed, *first, *pot], made)
        return made

    def _in_pot(self, stages: Sequence[DyeStage]) -> Iterator[str]:
        for number, stage in enumerate(stages):
            helps = (*(stage.mordants if number else ()), *stage.after)
            yield from (self.dyestuff(name) for name in stage.dyes)
            yield from (self.bath_help(name) for name in helps)

    def fleece(self, fleece: Fleece) -> str:
        """A fleece lot, with its farm by the rule of the pages."""
        key, fibres = Key("fleece", str(fleece.name)), tuple(map(str, fleece.fibre))
        known = find_fibre(fibres[0])
        fibre = find_term("fibre", known.name) if known else None
        term = find_term("stuff", "fleece") if is_shorn(fleece) else fibre
        grams, name = self.amounts.get(key), fleece_name(self.view.phrases, fleece)
        thing = Thing("", "fleece", name, grams, term, fibres)
        return self.put(key, replace(thing, farm=farm_of(fleece), shorn=str(fleece.shorn or "")))

    def dyestuff(self, name: str) -> str:
        """A dyestuff with its species; how much of it stays with the maker."""
        lot = self.view.book.dyestuffs.get(name)
        row = find_dye(str(lot.species or name) if lot else name)
        species = str(lot.species or "") if lot else ""
        species = species or (row.species[0] if row and row.species else "")
        term = dye_term(name, row.name if row else "") or find_term("stuff", "dye")
        said = spoken(self.view.phrases.stuff(name))
        thing = Thing("", "dyestuff", said, None, term, species=species)
        return self.put(Key("dyestuff", name), thing)

    def bath_help(self, name: str) -> str:
        """A mordant or another bath help, as little weighed as a dyestuff: what was in the bath is
        not in the cloth. A dyestuff in an after-bath is still a dyestuff."""
        book = self.view.book
        if name in book.dyestuffs and name not in book.mordants:
            return self.dyestuff(name)
        lot = book.mordants.get(name)
        row = find_mordant(str(lot.is_ or name) if lot else name)
        term = find_term("mordant", row.name) if row else None
        if term is None and row and row.kind == "mordant":
            term = find_term("stuff", "mordant")
        said = spoken(self.view.phrases.stuff(name))
        return self.put(Key("mordant", name), Thing("", "mordant", said, None, term))

    def weave(self) -> None:
        """The last step: all yarns become the piece."""
        used = [self.follow_use(index) for index in range(len(self.piece.yarns))]
        weight = Fraction(self.piece.weight) if self.piece.weight else None
        made = self.put(key_of(self.piece), Thing("", "piece", str(self.piece.title), weight))
        self.step(work_of(self.piece), used, made)


def dye_term(name: str, known: str) -> Term | None:
    """The concept of a dye; indigo made by chemistry is another one than indigo from a plant."""
    if known == "indigo" and "synthetic" in name.lower():
        known = "synthetic indigo"
    return find_term("dye", known or name.lower())


def _slug(name: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "x"


def _known(lots: Mapping[str, Lot], name: str) -> Lot:
    """A lot by its name; Slip where its record is missing or can't be read."""
    if name not in lots:
        raise Slip(Said("find.broken", name=name))
    return lots[name]
