"""What a yarn or piece is made of: fibres, dyeing in its order, fleece, colour.

In: the book and its flow. Out: fibre parts for the labels, dye stages in the order they were done
(over-dyeing keeps the whole history of the lot), grams of each fleece, the colour of each yarn.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from provenance.figures.fibre.shares import FibrePart
from provenance.figures.flow.flow import Flow, Key
from provenance.figures.flow.gather import (
    exhaust_source,
    in_place_key,
    is_in_place,
    lot_key,
    yield_of,
)
from provenance.records.baths import Bath, Dyeing
from provenance.records.book import Book, Dyed
from provenance.records.pieces import Piece, YarnUse
from provenance.reference.mordants import find_mordant

UNDYED = "#d9d0bd"


@dataclass(frozen=True, slots=True)
class DyeStage:
    """One bath a yarn went through: what was in it, by the studio's own names."""

    mordants: tuple[str, ...]
    dyes: tuple[str, ...]
    after: tuple[str, ...]
    bath: str = ""
    is_exhaust: bool = False


@dataclass(frozen=True, slots=True)
class YarnInPiece:
    """One yarn of a piece, with everything that came along with it."""

    use: str
    lot: str
    grams: Fraction
    colour: str
    has_own_colour: bool
    stages: tuple[DyeStage, ...]
    fleeces: tuple[str, ...]
    bought: str


def yarns_of(book: Book, piece: Piece, swatches: Mapping[str, str]) -> tuple[YarnInPiece, ...]:
    """The yarns of a piece in the record's order; `swatches` are colours measured from photos."""
    return tuple(_yarn(book, piece, index, swatches) for index in range(len(piece.yarns)))


def _yarn(book: Book, piece: Piece, index: int, swatches: Mapping[str, str]) -> YarnInPiece:
    use = piece.yarns[index]
    lot = str(use.lot or use.fleece)
    base = base_yarn(book, str(use.lot)) if use.lot else ""
    spun = book.yarns.get(base)
    fleeces = (
        [str(use.fleece)] if use.fleece else [str(name) for name in (spun and spun.fleece) or ()]
    )
    colour = str(use.colour or "") or colour_of(book, str(use.lot or ""), swatches)
    if not colour and use.fleece in book.fleece:
        colour = str(book.fleece[str(use.fleece)].colour or "")
    stages = (stages_of(book, str(use.lot)) if use.lot else ()) + _stages_in_place(use)
    bought = base if spun is not None and not spun.fleece else ""
    own = bool(colour)
    return YarnInPiece(
        str(use.use),
        lot,
        Fraction(use.weight),
        colour or UNDYED,
        own,
        stages,
        tuple(fleeces),
        bought,
    )


def dyed_entry(book: Book, lot: str) -> Dyed | None:
    """The bath a lot came out of, with its name and its entry there."""
    return book.dyed.get(lot)


def base_yarn(book: Book, lot: str) -> str:
    """The yarn a dyed lot was before its first bath."""
    seen: set[str] = set()
    while (found := dyed_entry(book, lot)) and lot not in seen and lot not in book.yarns:
        seen.add(lot)
        lot = str(found[2].yarn)
    return lot


def stages_of(book: Book, lot: str) -> tuple[DyeStage, ...]:
    """Every bath a lot went through, first bath first."""
    stages: list[tuple[DyeStage, ...]] = []
    seen: set[str] = set()
    while lot not in book.yarns and lot not in seen and (found := dyed_entry(book, lot)):
        seen.add(lot)
        name, bath, entry = found
        stages.insert(0, bath_stages(book, name, bath))
        lot = str(entry.yarn)
    return tuple(stage for group in stages for stage in group)


def bath_stages(book: Book, name: str, bath: Bath) -> tuple[DyeStage, ...]:
    """The stages of one bath; mordants belong to the dyes that follow them."""
    stages = _folded(bath.steps, name)
    sources = _exhausted(book, bath)
    if not sources:
        return stages
    steps = [step for source in reversed(sources) for step in source.steps]
    dyes = tuple(dict.fromkeys(str(dye) for step in steps for dye in step.dyes))
    first = replace(stages[0], dyes=dyes) if stages and not stages[0].dyes else None
    exhaust = replace(first or DyeStage((), dyes, (), name), is_exhaust=True)
    return (exhaust, *stages[1:]) if first else (exhaust, *stages)


def _exhausted(book: Book, bath: Bath) -> list[Bath]:
    """The baths whose leftovers this one uses, the latest first; a round is not gone twice."""
    found = [bath]
    while (source := exhaust_source(book, found[-1])) is not None and source not in found:
        found.append(source)
    return found[1:]


def _folded(steps: Iterable[Dyeing], name: str) -> tuple[DyeStage, ...]:
    stages: list[DyeStage] = []
    waiting: list[str] = []
    for step in steps:
        waiting += map(str, step.mordants)
        if step.dyes:
            stages.append(DyeStage(tuple(waiting), tuple(map(str, step.dyes)), (), name))
            waiting = []
        if step.after:
            after = tuple(map(str, step.after))
            last = stages.pop() if stages else DyeStage(tuple(waiting), (), (), name)
            stages.append(replace(last, after=last.after + after))
            waiting = waiting if last.dyes else []
    if waiting:
        stages.append(DyeStage(tuple(waiting), (), (), name))
    return tuple(stages)


def _stages_in_place(use: YarnUse) -> tuple[DyeStage, ...]:
    return _folded([use], "") if use.dyes or use.mordants or use.after else ()


def true_mordants(names: Iterable[str]) -> frozenset[str]:
    """Of the substances in a bath, those that bind dye (no assistants, no vat helpers)."""
    found = {name: find_mordant(name) for name in names}
    return frozenset(name for name, row in found.items() if row and row.kind == "mordant")


def colour_of(book: Book, lot: str, swatches: Mapping[str, str]) -> str:
    """The colour of a lot: recorded, measured from its swatch, or its own natural colour; or ''."""
    found = dyed_entry(book, lot)
    if found is not None and lot not in book.yarns:
        _, bath, entry = found
        for colour in (entry.colour, _measured(entry.swatch, swatches), bath.colour):
            if colour:
                return str(colour)
        return _measured(bath.swatch, swatches) or ""
    yarn = book.yarns.get(lot)
    if yarn is None:
        return ""
    fleeces = (book.fleece[name] for name in yarn.fleece or () if name in book.fleece)
    return str(yarn.colour or next((f.colour for f in fleeces if f.colour), "") or "")


def _measured(swatch: str | None, swatches: Mapping[str, str]) -> str:
    return swatches.get(str(swatch), "") if swatch else ""


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
            weight = Fraction(put_in) * yield_of(fleece)[0] if put_in is not None else Fraction(1)
            for fibre, share in fleece.fibre.items():
                clean[str(fibre)] = clean.get(str(fibre), Fraction(0)) + weight * share
    whole = sum(clean.values())
    return {fibre: grams / whole for fibre, grams in clean.items()} if whole else {}


def fibre_parts(book: Book, piece: Piece) -> tuple[FibrePart, ...]:
    """Every fibre of every yarn, and of linings measured by weight, for the labels."""
    parts = []
    for use in piece.yarns:
        for fibre, share in use_composition(book, use).items():
            recycled = is_recycled(book, use)
            grams = Fraction(use.weight) * share
            parts.append(
                FibrePart(str(use.use), fibre, grams, use.weight.place, is_recycled=recycled)
            )
    return tuple(parts)


def use_composition(book: Book, use: YarnUse) -> dict[str, Fraction]:
    """Fibre -> share of one yarn of a piece."""
    if use.lot:
        return composition(book, str(use.lot))
    fleece = book.fleece.get(str(use.fleece))
    return {str(name): share for name, share in fleece.fibre.items()} if fleece else {}


def is_recycled(book: Book, use: YarnUse) -> bool:
    """Whether the yarn or every fleece in it is recycled fibre."""
    if use.fleece:
        fleece = book.fleece.get(str(use.fleece))
        return bool(fleece and fleece.recycled)
    yarn = book.yarns.get(base_yarn(book, str(use.lot)))
    if yarn is None:
        return False
    fleeces = [book.fleece[name] for name in yarn.fleece or () if name in book.fleece]
    return yarn.recycled or (bool(fleeces) and all(fleece.recycled for fleece in fleeces))


def fleece_masses(flow: Flow, piece: Piece) -> dict[str, Fraction]:
    """Fleece lot -> grams of it, in the grease, that the piece carries."""
    grams = flow.loads[Key("piece", str(piece.number))].grams
    return {key.name: value for key, value in grams.items() if key.kind == "fleece"}


def source_key(book: Book, piece: Piece, index: int) -> Key | None:
    """The node one yarn of a piece was drawn from."""
    use = piece.yarns[index]
    if is_in_place(use):
        return in_place_key(piece, index)
    return lot_key(book, str(use.lot)) if use.lot else None
