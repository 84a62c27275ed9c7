"""What a yarn or piece is made of: fibres, dyeing in its order, fleece, colour.

In: the book and its flow. Out: fibre parts for the labels, dye stages in the order they were done
(over-dyeing keeps the whole history of the lot), grams of each fleece, the colour of each yarn.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import chain

from provenance.figures.flow.depth import pale_dyes
from provenance.figures.flow.gather import exhaust_source, yield_of
from provenance.records.baths import Bath, DyedYarn, Dyeing
from provenance.records.book import Book, Dyed
from provenance.records.lots import Fleece, Yarn
from provenance.records.pieces import YarnUse
from provenance.reference.mordants import find_mordant

UNDYED = "#d9d0bd"


@dataclass(frozen=True, slots=True)
class DyeStage:
    """One bath a yarn went through: what was in it, by the studio's own names.

    `exhausts` counts the baths whose leftovers it used; dyes in `pale` lie pale on the yarn.
    """

    mordants: tuple[str, ...]
    dyes: tuple[str, ...]
    after: tuple[str, ...]
    exhausts: int = 0
    pale: tuple[str, ...] = ()

    @property
    def is_exhaust(self) -> bool:
        """Whether it used what another bath had left."""
        return self.exhausts > 0


def base_yarn(book: Book, lot: str) -> str:
    """The yarn a dyed lot was before its first bath."""
    baths = baths_of(book, lot)
    return str(baths[-1][2].yarn) if baths else lot


def stages_of(book: Book, lot: str) -> tuple[DyeStage, ...]:
    """Every bath a lot went through, first bath first."""
    baths = reversed(baths_of(book, lot))
    return tuple(stage for _, bath, entry in baths for stage in bath_stages(book, bath, entry))


def baths_of(book: Book, lot: str) -> list[Dyed]:
    """The baths a lot came out of, the latest first; a round is not gone twice."""
    found: dict[str, Dyed] = {}
    while lot not in book.yarns and lot not in found and (dyed := book.dyed.get(lot)):
        found[lot] = dyed
        lot = str(dyed[2].yarn)
    return list(found.values())


def bath_stages(book: Book, bath: Bath, entry: DyedYarn | None = None) -> tuple[DyeStage, ...]:
    """The stages of one bath; mordants belong to the dyes that follow them.

    How deep the dyes lie is told of `entry`, one of the yarns dyed in it.
    """
    grams = sum((each.weight for each in bath.dyed), Fraction(0))
    colour = str((entry.colour if entry else None) or bath.colour or "")
    pale = [pale_dyes(book, step, grams, entry, colour) for step in bath.steps]
    stages = _folded(bath.steps, pale)
    sources = _exhausted(book, bath)
    if not sources:
        return stages
    steps = [step for source in reversed(sources) for step in source.steps]
    dyes = tuple(dict.fromkeys(str(dye) for step in steps for dye in step.dyes))
    first = replace(stages[0], dyes=dyes) if stages and not stages[0].dyes else None
    exhaust = replace(first or DyeStage((), dyes, ()), exhausts=len(sources))
    return (exhaust, *stages[1:]) if first else (exhaust, *stages)


def _exhausted(book: Book, bath: Bath) -> list[Bath]:
    """The baths whose leftovers this one uses, the latest first; a round is not gone twice."""
    found, last = {str(bath.name): bath}, bath
    while (source := exhaust_source(book, last)) is not None and str(source.name) not in found:
        found[str(source.name)] = last = source
    return list(found.values())[1:]


def _folded(steps: Iterable[Dyeing], pale: Iterable[tuple[str, ...]]) -> tuple[DyeStage, ...]:
    stages: list[DyeStage] = []
    waiting: list[str] = []
    for step, pale_here in zip(steps, pale, strict=True):
        waiting += map(str, step.mordants)
        if step.dyes:
            dyes = tuple(map(str, step.dyes))
            stages.append(DyeStage(tuple(waiting), dyes, (), pale=pale_here))
            waiting = []
        if step.after:
            after = tuple(map(str, step.after))
            last = stages.pop() if stages else DyeStage(tuple(waiting), (), ())
            stages.append(replace(last, after=last.after + after))
            waiting = waiting if last.dyes else []
    if waiting:
        stages.append(DyeStage(tuple(waiting), (), ()))
    return tuple(stages)


def stages_in_place(book: Book, use: YarnUse) -> tuple[DyeStage, ...]:
    """The dyeing of a yarn where it is written."""
    if not (use.dyes or use.mordants or use.after):
        return ()
    pale = pale_dyes(book, use, Fraction(use.weight), colour=str(use.colour or ""))
    return _folded([use], [pale])


def true_mordants(names: Iterable[str]) -> frozenset[str]:
    """Of the substances in a bath, those that bind dye (no assistants, no vat helpers)."""
    found = {name: find_mordant(name) for name in names}
    return frozenset(name for name, row in found.items() if row and row.kind == "mordant")


def colour_of(book: Book, lot: str, swatches: Mapping[str, str]) -> str:
    """The colour of a lot: recorded, measured from its swatch, or its own natural colour; or ''."""
    colours: Iterable[str | None] = ()
    if yarn := book.yarns.get(lot):
        colours = (yarn.colour, *(fleece.colour for fleece in fleeces_of(book, yarn)))
    elif found := book.dyed.get(lot):
        of_pots = ((one.colour, swatches.get(str(one.swatch))) for one in (found.entry, found.bath))
        colours = chain.from_iterable(of_pots)
    return next((str(colour) for colour in colours if colour), "")


def fleeces_of(book: Book, yarn: Yarn) -> list[Fleece]:
    """The fleeces of a yarn that are on record."""
    return [book.fleece[name] for name in yarn.fleece or () if name in book.fleece]


def composition(book: Book, lot: str) -> dict[str, Fraction]:
    """Fibre -> share of the yarn of a lot; a blend by the clean weight of what went in."""
    yarn = book.yarns.get(base_yarn(book, lot))
    if yarn is None:
        return {}
    if not yarn.fleece:
        return {str(name): share for name, share in (yarn.fibre or {}).items()}
    if len(yarn.fleece) == 1:
        only = book.fleece.get(next(iter(yarn.fleece)))
        return {str(name): share for name, share in only.fibre.items()} if only else {}
    clean: dict[str, Fraction] = {}
    for name, put_in in yarn.fleece.items():
        fleece = book.fleece.get(name)
        if fleece is not None:
            weight = Fraction(put_in) * yield_of(fleece) if put_in is not None else Fraction(1)
            for fibre, share in fleece.fibre.items():
                clean[str(fibre)] = clean.get(str(fibre), Fraction(0)) + weight * share
    whole = sum(clean.values())
    return {fibre: grams / whole for fibre, grams in clean.items()} if whole else {}


def use_composition(book: Book, use: YarnUse) -> dict[str, Fraction]:
    """Fibre -> share of one yarn of a piece."""
    if use.lot:
        return composition(book, str(use.lot))
    fleece = book.fleece.get(str(use.fleece))
    return {str(name): share for name, share in fleece.fibre.items()} if fleece else {}
