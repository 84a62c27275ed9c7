"""Dyes, fleeces and outlets with the pieces that belong to them: made with it, of it, seen there.

In: public facts and the pieces shown. Out: views for the templates, in the order of their pages.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Generic, TypeVar

from provenance.press.drawings.selvedge import gradient
from provenance.public.edge import stripes_of
from provenance.public.outlet import PublicOutlet
from provenance.public.shelves import PublicDye, PublicFleece
from provenance.site.shown import ShownPiece

Fact = TypeVar("Fact")


@dataclass(frozen=True, slots=True)
class WithPieces(Generic[Fact]):
    """A public fact and the pieces that belong to it."""

    of: Fact
    pieces: tuple[ShownPiece, ...]


class DyeView(WithPieces[PublicDye]):
    """One dyestuff and the pieces that carry it."""

    @property
    def edge_down(self) -> str:
        """Its swatches as CSS, top to bottom."""
        return self._edge("to bottom")

    @property
    def edge_across(self) -> str:
        """Its swatches as CSS, left to right."""
        return self._edge("to right")

    def _edge(self, direction: str) -> str:
        stripes = stripes_of((swatch.colour, Fraction(1)) for swatch in self.of.swatches)
        return gradient(stripes, direction)

    @property
    def path(self) -> str:
        """Its address."""
        return f"dyes/{slug(self.of.name)}/"


def slug(name: str) -> str:
    """A name as part of an address."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "dye"


def dye_views(dyes: Sequence[PublicDye], pieces: Sequence[ShownPiece]) -> tuple[DyeView, ...]:
    """Every dyestuff that was used in a bath, by hue of its first swatch."""
    views = [DyeView(dye, tuple(p for p in pieces if dye.name in p.card.dye_names))
             for dye in dyes]  # fmt: skip
    used = [view for view in views if view.of.swatches or view.pieces]
    return tuple(sorted(used, key=lambda view: view.of.hue))


def fleece_anchor(name: str) -> str:
    """Where on the page of fleeces a lot is told of."""
    return name.replace(" ", "-")


def fleece_views(
    fleeces: Sequence[PublicFleece], pieces: Sequence[ShownPiece]
) -> list[WithPieces[PublicFleece]]:
    """Every fleece that is in a piece shown, most used first."""
    grams: dict[str, Fraction] = {}
    carrying: dict[str, list[ShownPiece]] = {}
    for piece in pieces:
        for lot, amount in piece.card.from_fleeces:
            grams[lot] = grams.get(lot, Fraction(0)) + amount
            carrying.setdefault(lot, []).append(piece)
    views = [WithPieces(each, tuple(carrying[each.name])) for each in fleeces
             if each.name in carrying]  # fmt: skip
    return sorted(views, key=lambda view: (-grams[view.of.name], fleece_anchor(view.of.name)))


def outlet_views(
    outlets: Sequence[PublicOutlet], pieces: Sequence[ShownPiece], today: date
) -> list[WithPieces[PublicOutlet]]:
    """Places to see the work from today on: what has dates first, by date; then the rest."""
    for_sale = [piece for piece in pieces if piece.card.for_sale]
    views = [WithPieces(each, tuple(p for p in for_sale if each.name in p.card.outlets))
             for each in outlets
             if each.is_shown and not (each.last and each.last < today)]  # fmt: skip
    return sorted(views, key=lambda view: (view.of.first is None, view.of.first or date.min))
