"""Fleeces and outlets in public: what became of each; where to see the work, and when.

In: public facts of fleeces and outlets, and the pieces shown. Out: views for the templates.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from provenance.language.phrases import Phrases
from provenance.public.outlet import PublicOutlet
from provenance.public.shelves import PublicFleece
from provenance.site.shown import ShownPiece


@dataclass(frozen=True, slots=True)
class FleeceView:
    """One fleece lot and the pieces it is in."""

    of: PublicFleece
    pieces: tuple[ShownPiece, ...]

    @property
    def anchor(self) -> str:
        """Where on the page of fleeces it is told of."""
        return fleece_anchor(self.of.name)


@dataclass(frozen=True, slots=True)
class OutletView:
    """One place to see the work; `dates` are written out."""

    of: PublicOutlet
    dates: str
    pieces: tuple[ShownPiece, ...]


def fleece_views(
    fleeces: Sequence[PublicFleece], pieces: Sequence[ShownPiece]
) -> tuple[FleeceView, ...]:
    """Every fleece that is in a piece shown, most used first."""
    given = [(piece, dict(piece.facts.from_fleeces)) for piece in pieces]
    views = []
    for fleece in fleeces:
        carrying = tuple(piece for piece, lots in given if fleece.name in lots)
        grams = sum((lots.get(fleece.name, Fraction(0)) for _, lots in given), Fraction(0))
        if carrying:
            views.append((-grams, FleeceView(fleece, carrying)))
    return tuple(view for _, view in sorted(views, key=lambda each: (each[0], each[1].anchor)))


def fleece_anchor(name: str) -> str:
    """Where on the page of fleeces a lot is told of."""
    return name.replace(" ", "-")


def outlet_views(
    outlets: Sequence[PublicOutlet], pieces: Sequence[ShownPiece], phrases: Phrases, today: date
) -> tuple[OutletView, ...]:
    """Places to see the work from today on: what has dates first, by date; then the rest."""
    shown = [each for each in outlets if each.is_shown and not (each.last and each.last < today)]
    views = [OutletView(each, _dates(each, phrases), _there(each, pieces)) for each in shown]
    return tuple(sorted(views, key=lambda view: (view.of.first is None, view.of.first or date.min)))


def _there(outlet: PublicOutlet, pieces: Sequence[ShownPiece]) -> tuple[ShownPiece, ...]:
    return tuple(
        each for each in pieces if each.facts.outlet == outlet.name and each.facts.for_sale
    )


def _dates(outlet: PublicOutlet, phrases: Phrases) -> str:
    if outlet.first is None or outlet.last is None:
        return ""
    first, last = phrases.day(outlet.first), phrases.day(outlet.last)
    return first if first == last else f"{first} – {last}"
