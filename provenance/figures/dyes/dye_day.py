"""Every pot of the studio held against what is known of its stuffs and its fibres.

In: the book, a bath or a piece of it. Out: remarks with places: doses, heat, pH and mordants by
fibre, poison, protection, what is not known. Poison, protection and the unknown are said at the
first place only; `known` in a record, or the papers noted as `permit`, keep them quiet
(`build.known`).
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.dyes import guard
from provenance.figures.dyes.stages import dyes_of, helps_of
from provenance.figures.flow.gather import dose_grams
from provenance.figures.flow.makeup import (
    DyeStage,
    bath_stages,
    composition,
    stages_in_place,
    stages_of,
    use_composition,
)
from provenance.figures.working import half_up
from provenance.problems import Place, Problem, Said, Words
from provenance.records.baths import Bath, Dyeing, Step
from provenance.records.book import Book
from provenance.records.lots import Dyestuff
from provenance.records.pieces import Piece, YarnUse
from provenance.reference.dyes import find_dye
from provenance.reference.fibres import dyes_as
from provenance.reference.mordants import find_mordant, holds_dye
from provenance.reference.poisons import find_stuff

Found = Iterator[Problem]
LEAST = Fraction(1, 10)  # a fibre of a blend counts from this share on


@dataclass(frozen=True, slots=True)
class Yarn:
    """One yarn in a pot: what it is made of as it dyes, what it went through, this pot included."""

    kinds: tuple[str, ...]
    before: tuple[DyeStage, ...]
    stages: tuple[DyeStage, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Pot:
    """Steps done to yarns together."""

    steps: tuple[Dyeing, ...]
    grams: Fraction
    yarns: tuple[Yarn, ...]

    @property
    def kinds(self) -> tuple[str, ...]:
        """How its fibres dye, each once."""
        return tuple(dict.fromkeys(kind for yarn in self.yarns for kind in yarn.kinds))


def check_bath(book: Book, bath: Bath) -> Found:
    """All that is worth a word about a bath."""
    return _of_pot(book, _bath(book, bath))


def check_in_place(book: Book, piece: Piece) -> Found:
    """The same of yarns that a piece dyes in place."""
    for use in piece.yarns:
        yield from _of_pot(book, _in_place(book, use))


def told_once(found: Iterable[Problem]) -> Found:
    """What is to be said at its first place alone is said there."""
    said: set[Words] = set()
    for problem in found:
        is_once = isinstance(problem.what, Said) and problem.what.key in guard.SAID_ONCE
        if not (is_once and problem.what in said):
            yield problem
        said.add(problem.what)


def kinds_of(shares: Mapping[str, Fraction]) -> tuple[str, ...]:
    """How a yarn dyes, most first; plant fibre counts where it is the main part of it."""
    found: dict[str, Fraction] = {}
    for fibre, share in shares.items():
        kind = dyes_as(fibre)
        found[kind] = found.get(kind, Fraction(0)) + share
    ranked = sorted(found, key=lambda kind: -found[kind])
    return tuple(
        kind
        for kind in ranked
        if kind and found[kind] >= LEAST and (kind != "cellulose" or kind == ranked[0])
    )


def known_as(book: Book, name: str) -> str:
    """What the tables know a stuff by: its species, what its record says it is, else its name."""
    dyestuff, mordant = book.dyestuffs.get(name), book.mordants.get(name)
    if dyestuff and dyestuff.species:
        return str(dyestuff.species)
    return str(mordant.is_) if mordant and mordant.is_ else name


def cautions(book: Book, names: Iterable[str]) -> tuple[Said, ...]:
    """Poison, protection and the unknown among stuffs that were used, each once."""
    found = (said for name in names for said in _cautions(book, name))
    return tuple(dict.fromkeys(found))


def _cautions(book: Book, name: str) -> Iterator[Said]:
    known, lot = known_as(book, name), book.dyestuffs.get(name)
    if find_stuff(known) is None:
        known = name
    if find_stuff(known) is None and lot is None and name not in book.mordants:
        return  # told as a name that is on no shelf
    has_papers = lot is not None and bool(lot.permit)
    guarded = None if has_papers else guard.protection_remark(known, name)
    yield from filter(None, (guard.grave_remark(known, name), guarded))


def _bath(book: Book, bath: Bath) -> Pot:
    stages = bath_stages(book, bath)
    yarns = []
    for entry in bath.dyed:
        before, fibres = stages_of(book, str(entry.yarn)), composition(book, str(entry.yarn))
        place = entry.becomes.place
        yarns.append(Yarn(_kinds(fibres), before, before + stages, place))
    return Pot(bath.steps, sum((each.weight for each in bath.dyed), Fraction(0)), tuple(yarns))


def _in_place(book: Book, use: YarnUse) -> Pot:
    before = stages_of(book, str(use.lot)) if use.lot else ()
    stages, kinds = before + stages_in_place(book, use), _kinds(use_composition(book, use))
    yarn = Yarn(kinds, before, stages, use.record_place)
    return Pot((use,), Fraction(use.weight), (yarn,))


def _kinds(shares: Mapping[str, Fraction]) -> tuple[str, ...]:
    """Of a yarn nobody knows the fibre of, wool is thought."""
    return kinds_of(shares) if shares else guard.WOOL


def _of_pot(book: Book, pot: Pot) -> Found:
    kinds = pot.kinds or (() if pot.yarns else guard.WOOL)
    is_vat = _is_vat(book, pot)
    for turn, step in enumerate(pot.steps):
        yield from _doses(book, pot, step, kinds)
        yield from _unfit(book, step, kinds, is_vat=is_vat)
        yield from _tannin(book, pot, turn)
        yield from _heat(book, step, kinds)
        if isinstance(step, Step) and step.ph:
            yield from _remarks(step.ph.place, guard.ph_remark(step.ph, kinds, is_vat=is_vat))
        yield from _cares(book, step)
    yield from _unmordanted(book, pot)


def _remarks(place: Place, *found: Said | None, remedy: Words = "") -> Found:
    return (Problem(place, said, remedy, is_remark=True) for said in found if said)


def _is_vat(book: Book, pot: Pot) -> bool:
    new = (dye for yarn in pot.yarns for dye in dyes_of(yarn.stages[len(yarn.before) :]))
    written = (str(dye) for step in pot.steps for dye in step.dyes)
    rows = (find_dye(known_as(book, name)) for name in (*new, *written))
    return any(row.on_wool == "vat" for row in rows if row)


def _doses(book: Book, pot: Pot, step: Dyeing, kinds: tuple[str, ...]) -> Found:
    """Shares outside what is usual on these fibres."""
    for name, dose in (*step.mordants.items(), *step.after.items()):
        if pot.grams:
            share = half_up(dose_grams(dose, pot.grams) * 100 / pot.grams, 4)
            known, called = _help(book, name), str(name)
            said = guard.share_remark(known, share, kinds, called=called)
            yield from _remarks(dose.place, said)


def _help(book: Book, name: str) -> str:
    """A bath help by its own name where that is known: a remark calls it as the maker does."""
    return str(name) if find_mordant(name) else known_as(book, str(name))


def _unfit(book: Book, step: Dyeing, kinds: tuple[str, ...], *, is_vat: bool) -> Found:
    for name, dose in (*step.mordants.items(), *step.after.items()):
        known, called = _help(book, name), str(name)
        said = guard.unfit_remark(known, kinds, is_vat=is_vat, called=called)
        yield from _remarks(dose.place, said)


def _tannin(book: Book, pot: Pot, turn: int) -> Found:
    """Alum on plant fibre without a tannin before or with it, or soda ash with it or after it.

    Soda ash in a pot before it only scoured the cloth.
    """
    step = pot.steps[turn]
    here = [*step.mordants, *step.after, *(dye for each in pot.steps for dye in each.dyes)]
    earlier = [name for each in pot.steps[:turn] for name in (*each.mordants, *each.after)]
    later = [name for each in pot.steps[turn:] for name in (*each.mordants, *each.after)]
    has_soda = any(
        row.name == "soda ash" for name in later if (row := find_mordant(_help(book, name)))
    )
    for yarn in pot.yarns:
        before = [*dyes_of(yarn.before), *helps_of(yarn.before)]
        names = [known_as(book, str(name)) for name in (*here, *earlier, *before)]
        if yarn.kinds[:1] != ("cellulose",) or has_soda or any(map(guard.is_tannin, names)):
            continue
        for name, dose in step.mordants.items():
            yield from _remarks(dose.place, guard.tannin_remark(_help(book, name), str(name)))


def _heat(book: Book, step: Dyeing, kinds: tuple[str, ...]) -> Found:
    if step.heat and step.heat.celsius is not None:
        known = {known_as(book, name): str(name) for name in step.dyes}
        said = guard.heat_remark(known, half_up(step.heat.celsius, 1), kinds)
        yield from _remarks(step.heat.place, said)


def _cares(book: Book, step: Dyeing) -> Found:
    """Poison, protection and what nobody here knows."""
    for name, dose in (*step.mordants.items(), *step.dyes.items(), *step.after.items()):
        for said in _cautions(book, str(name)):
            word = said.key.removeprefix("dosing.").removesuffix("_undated")
            yield from _remarks(dose.place, said, remedy=Said(f"review.{word}"))


def _unmordanted(book: Book, pot: Pot) -> Found:
    """Dyes that hold only on a mordant, on yarn that carries none."""
    if not any(step.dyes or isinstance(step, Step) for step in pot.steps):
        return
    for yarn in pot.yarns:
        known = {known_as(book, dye): dye for dye in dyes_of(yarn.stages)}
        helps = (_help(book, name) for name in helps_of(yarn.stages))
        said = guard.missing_mordant(known, has_mordant=any(map(holds_dye, helps)))
        yield from _remarks(yarn.place, said, remedy=Said("review.add_mordant"))


_GATHERED = re.compile(r"\bwild|gather|forag|found|picked|dug\b", re.IGNORECASE)
_WITH_LEAVE = re.compile(r"\bleave\b|permi|\bown\b|grown|garden|bought|allow", re.IGNORECASE)
_UPROOTED = re.compile(r"root|rhizome|bark|whole|lichen|moss|fung|mushroom|alga|seaweed", re.I)


def check_wild(book: Book) -> Found:
    """What is taken up whole or by the root in Britain wants the landowner's leave (s. 13)."""
    studio = book.studio
    if "UK" not in map(str, studio.labels_for) and str(studio.currency) != "GBP":
        return
    used = {str(dye) for step in _steps(book) for dye in step.dyes}
    for lot in book.dyestuffs.values():
        if lot.got and lot.name in used and not lot.permit and _is_uprooted(book, lot):
            said = Said("dosing.wild", name=str(lot.name))
            yield from _remarks(lot.got.place, said, remedy=Said("review.wild"))


def _steps(book: Book) -> Iterator[Dyeing]:
    """Every step of every bath, and every yarn of a piece."""
    yield from (step for bath in book.baths.values() for step in bath.steps)
    yield from (use for piece in book.pieces.values() for use in piece.yarns)


def _is_uprooted(book: Book, lot: Dyestuff) -> bool:
    """Gathered wild, as a root, bark or whole, and nobody's leave is written down."""
    row = find_dye(known_as(book, str(lot.name)))
    part, got = f"{lot.part or (row.part if row else '')} {lot.name}", str(lot.got)
    is_wild = _GATHERED.search(got) and not _WITH_LEAVE.search(got)
    return bool(is_wild and _UPROOTED.search(part))
