"""What a commission takes from the shelf, what the shelf lacks, and the hours to make that good.

In: the strands of one size. Out: grams of yarn, fleece, dyestuff and mordant with what is left of
each, and the spinning and dyeing still to be done. A natural lot cannot be matched again: when
what is left of a dyed lot does not reach, the whole of that colour is dyed anew, in one bath, with
the spare. Yarn that is not on the shelf is spun from its fleeces, by their yields.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from provenance.figures.dyes.recipes import PotOf, is_weighed, recipe_named, shelf
from provenance.figures.flow.carried import carried_hours
from provenance.figures.flow.flow import Key, in_all
from provenance.figures.flow.gather import yield_of
from provenance.figures.flow.own_workings import grease_working
from provenance.figures.quotation.cloth import Asked
from provenance.figures.quotation.yarn import Strand
from provenance.figures.working import Figure, added, difference, given, product, quotient, total
from provenance.problems import NOWHERE, Place, Said, Words

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
        said = Said("step.lacking", what=self.what)
        if not self.is_weighed or self.grams.value <= self.on_shelf.value:
            return given(said, 0, "g")
        return difference(said, self.grams, self.on_shelf)


@dataclass(frozen=True, slots=True)
class Making:
    """Spinning or dyeing to be done before the loom is dressed: grams and hours of it."""

    way: str  # spin, dye or buy
    what: Words
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
            grams = sum((term.value for term in terms), Fraction(0))
            lines.append(_need(asked, "fleece", lot, [_in_grease(asked, lot, grams)]))
            continue
        need = _need(asked, "yarn", lot, terms)
        lines.append(need)
        if need.lacking.value:
            makings.append(_spin_or_buy(asked, lot, need.lacking))
            for name, grease in _grease(asked, lot, need.lacking):
                fleeces.setdefault(name, []).append(grease)
    for name, terms in fleeces.items():
        lines.append(replace(_need(asked, "fleece", name, terms), is_in_yarn=True))
    dyeing = [(each, _pots(asked, each)) for each in to_dye]
    lines += _doses(asked, dyeing)
    makings += [_dye(asked, strand, pots) for strand, pots in dyeing]
    baths = tuple(dict.fromkeys(pot.bath for _, pots in dyeing for pot in pots))
    ordered = sorted(lines, key=lambda need: ORDER.index(need.kind))
    return Needs(tuple(ordered), tuple(makings), baths)


def _pots(asked: Asked, strand: Strand) -> tuple[PotOf, ...]:
    """The baths of a strand's recipe; none for a colour that nothing is near to."""
    recipe = recipe_named(asked.book, strand.recipe, asked.swatches) if strand.recipe else None
    return recipe.pots if recipe else ()


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
    left = _shelved(name, _left(asked, kind, name), node.place if node else None)
    weighed = node is not None and node.holds is not None
    return Need(name, kind, added(name, terms, "g"), left, weighed)


def _shelved(name: str, left: Fraction, place: Place | None = None) -> Figure:
    return given(Said("step.on_shelf", what=name), left, "g", place)


def _doses(asked: Asked, dyeing: Sequence[tuple[Strand, Sequence[PotOf]]]) -> Iterator[Need]:
    """Dyestuffs and bath helps of every bath, added up, against the shelf."""
    wanted: dict[str, list[Figure]] = {}
    for strand, pots in dyeing:
        for dose in (dose for pot in pots for dose in pot.doses):
            hundred = given(Said("step.for_100_g", what=dose.what), dose.grams, "g")
            fibre = given(Said("step.fibre"), 100, "g")
            share = quotient(Said("step.dose_share", what=dose.what), hundred, fibre)
            said = Said("step.dose_for", what=dose.what, lot=strand.name)
            grams = product(said, strand.with_spare, share, unit="g")
            wanted.setdefault(dose.what, []).append(grams)
    left = shelf(asked.book, asked.flow)
    for what, terms in wanted.items():
        kind = "mordant" if what in asked.book.mordants else "dyestuff"
        there = _shelved(what, left.get(what, Fraction(0)))
        yield Need(what, kind, added(what, terms, "g"), there, is_weighed(asked.book, what))


def _in_grease(asked: Asked, lot: str, yarn: Fraction) -> Figure:
    fleece = asked.book.fleece[lot]
    return grease_working(fleece, yarn, fleece.weight.place)


def _grease(asked: Asked, lot: str, lacking: Figure) -> Iterator[tuple[str, Figure]]:
    """Fleece, in the grease, for yarn that is lacking; a blend in the shares it was made in."""
    yarn = asked.book.yarns.get(lot)
    parts = {
        str(name): Fraction(put_in or 1) * yield_of(asked.book.fleece[str(name)])
        for name, put_in in ((yarn and yarn.fleece) or {}).items()
        if name in asked.book.fleece
    }
    whole = sum(parts.values())
    for name, part in parts.items() if whole else ():
        yield name, _in_grease(asked, name, lacking.value * part / whole)


def _spin_or_buy(asked: Asked, lot: str, lacking: Figure) -> Making:
    yarn = asked.book.yarns.get(lot)
    if yarn is None or not yarn.fleece:
        return Making("buy", lot, lacking, None)
    key, hours = Key("yarn", lot), None
    spent = [carried_hours(asked.flow, key, each)
             for each in asked.flow.loads[key].hours if each in SPINNING]  # fmt: skip
    whole = in_all(lot, asked.flow.whole(key), place=NOWHERE)
    if spent and whole.value:  # so many grams take the hours that those of the lot took
        worked = total(Said("step.spinning", yarn=lot), spent, "h")
        each = quotient(Said("step.hours_a_gram"), worked, whole)
        hours = product(Said("step.spinning_again", yarn=lot), each, lacking, unit="h")
    return Making("spin", lot, lacking, hours)


def _dye(asked: Asked, strand: Strand, pots: Sequence[PotOf]) -> Making:
    """One bath for one colour; the hours of a pot are those of the pot it follows."""
    nodes = (asked.flow.nodes.get(Key("bath", pot.bath)) for pot in pots)
    spent = [node.workings[each] for node in nodes if node for each in node.own.hours]
    hours = total(Said("step.dyeing", lot=strand.name), spent, "h") if spent else None
    exhausts = tuple(pot.exhaust_of for pot in pots if pot.exhaust_of)
    return Making("dye", strand.name, strand.with_spare, hours, strand.recipe, exhausts)
