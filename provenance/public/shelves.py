"""Dyes and fleeces in public: plant, swatches, how a dye ages; flock, farm, what became of it.

In: the view. Out: facts for the pages of dyes and fleeces, by allow-list: no cost, no amounts, no
address that is not marked public.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from provenance.figures.colour.shades import hue_order
from provenance.figures.dyes.stages import dyes_of, helps_of, history_words
from provenance.figures.flow.makeup import DyeStage, colour_of, stages_of
from provenance.figures.flow.strands import yarns_of
from provenance.public.names import called, capital, farm_of, fleece_title, spoken
from provenance.public.view import View
from provenance.records.lots import Dyestuff, Fleece
from provenance.reference.dyes import Dye, find_dye, is_lake
from provenance.reference.sourced import cited

_NO_COLOUR = "#8a7f70"


@dataclass(frozen=True, slots=True)
class Swatch:
    """One lot of the dye book."""

    name: str
    colour: str
    words: str
    mordants: str


@dataclass(frozen=True, slots=True)
class Ageing:
    """How a dye stands light on one mordant family, with where that is known from."""

    on: str
    low: str
    high: str
    source: str


@dataclass(frozen=True, slots=True)
class PublicDye:
    """One dyestuff in public; `hue` is its place in the order of hues."""

    name: str
    title: str
    species: str
    part: str
    got: str
    swatches: tuple[Swatch, ...]
    ageing: tuple[Ageing, ...]
    note: str
    colour: str
    hue: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class PublicFleece:
    """One fleece lot in public; `yarns` are what was spun of it, `colours` theirs."""

    name: str
    title: str
    fibre: str
    farm: str
    shorn: str
    weight: str
    yarns: tuple[str, ...]
    colours: tuple[str, ...]


def public_dye(view: View, lot: Dyestuff) -> PublicDye:
    """What may be told of a dyestuff."""
    name = str(lot.name)
    row = None if is_lake(name) else find_dye(str(lot.species or name))
    swatches = tuple(sorted(_swatches(view, name), key=lambda each: hue_order(each.colour)))
    colour = swatches[0].colour if swatches else _NO_COLOUR
    return PublicDye(
        name=name,
        title=spoken(view.phrases.stuff(name)),
        species=str(lot.species or (row.species[0] if row and row.species else "")),
        part=str(lot.part or ""),
        got=str(lot.got or "").split(",")[0].strip(),
        swatches=swatches,
        ageing=_ageing(view, row),
        note=view.phrases.tell(row.light_note.words) if row and row.light_note else "",
        colour=colour,
        hue=tuple(hue_order(colour)),
    )


def _swatches(view: View, dye: str) -> Iterator[Swatch]:
    for name, colour, stages in _shades(view):
        if dye in dyes_of(stages):
            yield _swatch(view, name, colour, stages)


@lru_cache(maxsize=4)
def _shades(view: View) -> tuple[tuple[str, str, tuple[DyeStage, ...]], ...]:
    """Every dyed lot and every yarn dyed in place that has a colour: its name, colour, stages."""
    return (*_of_lots(view), *_in_place(view))


def _of_lots(view: View) -> Iterator[tuple[str, str, tuple[DyeStage, ...]]]:
    book = view.book
    lots = (str(entry.becomes) for bath in book.baths.values() for entry in bath.dyed)
    for lot in lots:
        if colour := colour_of(book, lot, view.studio.swatches):
            yield called(book, lot), colour, stages_of(book, lot)


def _in_place(view: View) -> Iterator[tuple[str, str, tuple[DyeStage, ...]]]:
    for piece in view.book.pieces.values():
        if not any(use.dyes and use.colour for use in piece.yarns) or piece.is_draft:
            continue
        for index, yarn in enumerate(yarns_of(view.book, piece, view.studio.swatches)):
            use = piece.yarns[index]
            if use.dyes and use.colour:
                name = use.name or piece.name_in_place(index).partition(" ")[2]
                yield f"{piece.title}: {name.replace('-', ' ')}", yarn.colour, yarn.stages


def _swatch(view: View, name: str, colour: str, stages: Sequence[DyeStage]) -> Swatch:
    helps = ", ".join(map(view.phrases.stuff, helps_of(stages)))
    return Swatch(name, colour, view.phrases.tell(history_words(stages)), helps)


def _ageing(view: View, row: Dye | None) -> tuple[Ageing, ...]:
    named, tell = view.phrases.named, view.phrases.tell
    only_expected = view.phrases.say("page.only_expected")
    return tuple(
        Ageing(
            named("mordant_family", family),
            str(span.low),
            str(span.high),
            only_expected if span.sure == "memory" else tell(cited(span.source)),
        )
        for family, span in (row.light if row else ())
    )


def public_fleece(view: View, lot: Fleece) -> PublicFleece:
    """What may be told of a fleece lot."""
    book = view.book
    yarns = {name: each for name, each in book.yarns.items() if lot.name in (each.fleece or {})}
    colours = (each.colour or lot.colour for each in yarns.values())
    return PublicFleece(
        name=str(lot.name),
        title=capital(fleece_title(view.phrases, lot)),
        fibre=view.phrases.listed([view.phrases.fibre(str(each)) for each in lot.fibre]),
        farm=farm_of(lot),
        shorn=view.phrases.part_day(str(lot.shorn)) if lot.shorn else "",
        weight=view.phrases.mass(Fraction(lot.weight)),
        yarns=tuple(called(book, name) for name in yarns),
        colours=tuple(dict.fromkeys(str(colour) for colour in colours if colour)),
    )
