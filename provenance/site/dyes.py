"""The dye pages: one for each dyestuff, from the studio's own dye book.

In: the setting and the pieces shown. Out: `DyeView`s: plant, own swatches, pieces that carry it,
how it ages (the range on the blue wool scale with its source, or "not rated").
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.colour.shades import hue_order
from provenance.figures.dyes.stages import dyes_of, helps_of, history_words
from provenance.figures.flow.makeup import colour_of, stages_of
from provenance.press.drawings.selvedge import gradient
from provenance.public.edge import Stripe
from provenance.public.setting import Setting, spoken
from provenance.records.lots import Dyestuff
from provenance.reference.dyes import Dye, find_dye
from provenance.site.shown import ShownPiece


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
class DyeView:
    """One dyestuff in public."""

    name: str
    title: str
    species: str
    part: str
    got: str
    swatches: tuple[Swatch, ...]
    pieces: tuple[ShownPiece, ...]
    ageing: tuple[Ageing, ...]
    note: str
    colour: str

    @property
    def edge_down(self) -> str:
        """Its swatches as CSS, top to bottom."""
        return gradient(_even(self.swatches), "to bottom")

    @property
    def edge_across(self) -> str:
        """Its swatches as CSS, left to right."""
        return gradient(_even(self.swatches), "to right")

    @property
    def path(self) -> str:
        """Its address."""
        return f"dyes/{slug(self.name)}/"


def _even(swatches: Sequence[Swatch]) -> list[Stripe]:
    share = Fraction(1, len(swatches) or 1)
    return [
        Stripe(swatch.colour, number * share, (number + 1) * share, swatch.name)
        for number, swatch in enumerate(swatches)
    ]


def slug(name: str) -> str:
    """A name as part of an address."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "dye"


def dye_views(setting: Setting, pieces: Sequence[ShownPiece]) -> tuple[DyeView, ...]:
    """Every dyestuff that was used in a bath, by hue of its first swatch."""
    views = [dye_view(setting, lot, pieces) for lot in setting.book.dyestuffs.values()]
    used = [view for view in views if view.swatches or view.pieces]
    return tuple(sorted(used, key=lambda view: hue_order(view.colour)))


def dye_view(setting: Setting, lot: Dyestuff, pieces: Sequence[ShownPiece]) -> DyeView:
    """One dyestuff with its swatches and pieces."""
    name = str(lot.name)
    row = find_dye(str(lot.species or lot.name))
    swatches = tuple(sorted(_swatches(setting, name), key=lambda s: hue_order(s.colour)))
    carrying = tuple(piece for piece in pieces if name in piece.facts.dye_names)
    return DyeView(
        name=name,
        title=spoken(setting.phrases.stuff(name)),
        species=str(lot.species or (row.species[0] if row and row.species else "")),
        part=str(lot.part or ""),
        got=str(lot.got or "").split(",")[0].strip(),
        swatches=swatches,
        pieces=carrying,
        ageing=_ageing(setting, row),
        note=setting.phrases.tell(row.light_note.words) if row and row.light_note else "",
        colour=swatches[0].colour if swatches else "#8a7f70",
    )


def _swatches(setting: Setting, dye: str) -> list[Swatch]:
    found = []
    for bath in setting.book.baths.values():
        for entry in bath.dyed:
            lot = str(entry.becomes)
            stages = stages_of(setting.book, lot)
            colour = colour_of(setting.book, lot, setting.swatches)
            if dye in dyes_of(stages) and colour:
                helps = ", ".join(map(setting.phrases.stuff, helps_of(stages)))
                words = setting.phrases.tell(history_words(stages))
                found.append(Swatch(spoken(lot), colour, words, helps))
    return found


def _ageing(setting: Setting, row: Dye | None) -> tuple[Ageing, ...]:
    return tuple(
        Ageing(
            setting.phrases.named("mordant_family", family),
            str(span.low),
            str(span.high),
            span.source,
        )
        for family, span in (row.light if row else ())
    )
