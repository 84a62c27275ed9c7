"""The dye pages: one for each dyestuff, with the pieces that carry it.

In: the public facts of the dyes and the pieces shown. Out: `DyeView`s.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from provenance.press.drawings.selvedge import gradient
from provenance.public.edge import Stripe, stripes_of
from provenance.public.shelves import PublicDye
from provenance.site.shown import ShownPiece


@dataclass(frozen=True, slots=True)
class DyeView:
    """One dyestuff and the pieces that carry it."""

    of: PublicDye
    pieces: tuple[ShownPiece, ...]

    @property
    def edge_down(self) -> str:
        """Its swatches as CSS, top to bottom."""
        return gradient(self._stripes, "to bottom")

    @property
    def edge_across(self) -> str:
        """Its swatches as CSS, left to right."""
        return gradient(self._stripes, "to right")

    @property
    def path(self) -> str:
        """Its address."""
        return f"dyes/{slug(self.of.name)}/"

    @property
    def _stripes(self) -> tuple[Stripe, ...]:
        return stripes_of((swatch.colour, Fraction(1)) for swatch in self.of.swatches)


def slug(name: str) -> str:
    """A name as part of an address."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "dye"


def dye_views(dyes: Sequence[PublicDye], pieces: Sequence[ShownPiece]) -> tuple[DyeView, ...]:
    """Every dyestuff that was used in a bath, by hue of its first swatch."""
    views = [
        DyeView(dye, tuple(piece for piece in pieces if dye.name in piece.facts.dye_names))
        for dye in dyes
    ]
    used = [view for view in views if view.of.swatches or view.pieces]
    return tuple(sorted(used, key=lambda view: view.of.hue))
