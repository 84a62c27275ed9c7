"""Dyes, fleeces and outlets with the pieces that belong to them: made with it, of it, seen there.

In: public facts and the pieces shown. Out: views for the templates, in the order of their pages.
"""

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any, Generic, TypeVar

from provenance.press.drawings.selvedge import gradient
from provenance.press.markup import as_markup, escaped
from provenance.public.been import Told
from provenance.public.edge import stripes_of
from provenance.public.outlet import PublicOutlet
from provenance.public.piece import PublicPiece
from provenance.public.shelves import PublicDye, PublicFleece
from provenance.public.show import PublicShow
from provenance.site.shown import ShownPiece

Fact = TypeVar("Fact")
House = TypeVar("House", PublicOutlet, PublicShow)


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


class FleeceView(WithPieces[PublicFleece]):
    """One fleece lot and the pieces it is in."""

    @property
    def colours(self) -> str:
        """What was spun of it, undyed, as CSS, left to right."""
        stripes = stripes_of((colour, Fraction(1)) for colour in self.of.colours)
        return gradient(stripes, "to right") if stripes else ""


class WithAddress(WithPieces[House]):
    """A place or a show, which may have an address of its own on the web."""

    @property
    def web(self) -> str:
        """Its own address, as a link; none of a kind that browsers don't open as a page."""
        return own_address(self.of.web)

    @property
    def web_in_words(self) -> str:
        """The same as people say it."""
        return without_scheme(self.web)


@dataclass(frozen=True)
class OutletView(WithAddress[PublicOutlet]):
    """One place and the pieces for sale there; whether it opens on a day to come."""

    is_ahead: bool = False


def own_address(web: str) -> str:
    """An address as somebody wrote it, as a link; '' for one that is no page."""
    scheme, split, _ = web.partition("://")
    if not split:
        return f"https://{web}" if web else ""
    return web if scheme in ("http", "https") else ""


def without_scheme(address: str) -> str:
    """The address of a link as people say it."""
    return address.partition("://")[2].removeprefix("www.").rstrip("/")


def slug(name: str) -> str:
    """A name as part of an address."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "dye"


def dye_views(dyes: Sequence[PublicDye], pieces: Sequence[ShownPiece]) -> tuple[DyeView, ...]:
    """Every dyestuff that was used in a bath, by hue of its first swatch."""
    views = [DyeView(dye, tuple(p for p in pieces if dye.name in p.card.dye_names))
             for dye in dyes]  # fmt: skip
    used = [view for view in views if view.of.swatches or view.pieces]
    return tuple(sorted(used, key=lambda view: view.of.hue))


def anchor(name: str) -> str:
    """Where on its page a fleece or an outlet is told of."""
    return name.replace(" ", "-")


def fleece_views(fleeces: Sequence[PublicFleece], pieces: Sequence[ShownPiece]) -> list[FleeceView]:
    """Every fleece that is in a piece shown, most used first."""
    grams: dict[str, Fraction] = {}
    carrying: dict[str, list[ShownPiece]] = {}
    for piece in pieces:
        for lot, amount in piece.card.from_fleeces:
            grams[lot] = grams.get(lot, Fraction(0)) + amount
            carrying.setdefault(lot, []).append(piece)
    views = [FleeceView(each, tuple(carrying[each.name])) for each in fleeces
             if each.name in carrying]  # fmt: skip
    return sorted(views, key=lambda view: (-grams[view.of.name], anchor(view.of.name)))


def outlet_views(
    outlets: Sequence[PublicOutlet], pieces: Sequence[ShownPiece], today: date
) -> list[OutletView]:
    """Places to see the work from today on: what has dates first, by date; then the rest."""
    for_sale = [piece for piece in pieces if piece.card.for_sale]
    views = [OutletView(each, tuple(p for p in for_sale if each.name in p.card.outlets),
                        is_ahead=each.first is not None and each.first > today)
             for each in outlets
             if each.is_shown and not (each.last and each.last < today)]  # fmt: skip
    return sorted(views, key=lambda view: (view.of.first is None, view.of.first or date.min))


def been(event: Told, shows: Collection[str], root: str) -> Any:
    """What a piece's list says of a day, an exhibition as a link to its page, where the site has
    that (`shows`)."""
    if event.path not in shows:
        return f"{event.what}{event.rest}"
    link = f'<a href="{root}{event.path}index.html">{escaped(event.what)}</a>'
    return as_markup(f"<span>{link}{escaped(event.rest)}</span>")


def whereabouts(piece: PublicPiece, there: Collection[str], root: str) -> Any:
    """Where a piece stands, in words; the outlets told of on their page (`there`) as links to
    it."""
    words, waiting = str(escaped(piece.availability)), dict[str, list[str]]()
    for name, called in piece.seen_at:
        waiting.setdefault(str(escaped(called)), []).append(name)

    def link(found: re.Match[str]) -> str:
        name = next(iter(waiting[found[0]]), "")
        del waiting[found[0]][:1]
        address = f"{root}where/index.html#{escaped(anchor(name))}"
        return f'<a href="{address}">{found[0]}</a>' if name in there else found[0]

    # in one go, the longest first: a name may lie within another, or within an address
    told = "|".join(map(re.escape, sorted(waiting, key=len, reverse=True)))
    return as_markup(re.sub(told, link, words) if told else words)
