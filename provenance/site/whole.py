"""The whole site before its pages: public facts, the pieces shown, and what pages share of them.

In: public facts, pictures, the maker's words. Out: `Site`, and what an asked-for page says of
itself (`Asked`): its address, its template, all that it comes from, and the values it is filled
with.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, fields
from functools import cached_property
from typing import Any

from provenance.digest import digest_of
from provenance.press.templates import own_texts
from provenance.public.outlet import PublicOutlet
from provenance.public.piece import PublicPiece
from provenance.public.shapes import PublicWords
from provenance.public.shelves import PublicDye, PublicFleece
from provenance.public.show import PublicShow
from provenance.public.studio import PublicStudio
from provenance.site.checking import Trusted
from provenance.site.places import DyeView, OutletView, dye_views, outlet_views
from provenance.site.rows import Once, Rows, on_a_wall
from provenance.site.scale import at_scale
from provenance.site.sealed import Sealed
from provenance.site.shown import IN_AN_EDGE, ShownPiece, age
from provenance.site.shows import ShowView, show_views
from provenance.site.style import Look, look

Given = Mapping[str, Any]
Values = Callable[[], Given]
Asked = tuple[str, str, tuple[Any, ...], Values]


@dataclass(frozen=True)
class Site:
    """Everything the pages are made from: public facts, and nothing else."""

    studio: PublicStudio
    dyes: tuple[PublicDye, ...]
    fleeces: tuple[PublicFleece, ...]
    outlets: tuple[PublicOutlet, ...]
    pieces: tuple[ShownPiece, ...]
    withdrawn: tuple[PublicPiece, ...]
    words: Mapping[str, PublicWords]
    letters: Mapping[str, bytes]
    own_words: Mapping[str, str] = field(default_factory=dict)
    trusted: Trusted | None = None
    sealed: Sealed | None = None
    once: Once = lambda name, key, work: work()
    shows: tuple[PublicShow, ...] = ()

    @cached_property
    def listed(self) -> list[ShownPiece]:
        """Pieces in the lists, newest first; the others are reached by their address alone."""
        listed = (piece for piece in self.pieces if piece.is_listed)
        return sorted(listed, key=age, reverse=True)

    @cached_property
    def edge(self) -> tuple[str, ...]:
        """What edge and shared picture of a page that is about no one piece come from."""
        return stamps([*self.listed[:IN_AN_EDGE], *([self.cover] if self.cover else [])])

    @cached_property
    def cover(self) -> ShownPiece | None:
        """The newest piece that has a picture: its is passed on with pages about no one piece."""
        return next((piece for piece in self.listed if piece.lead), None)

    @cached_property
    def dye_views(self) -> tuple[DyeView, ...]:
        """Every dyestuff that was used, with the listed pieces that carry it."""
        return dye_views(self.dyes, self.listed)

    @cached_property
    def dye_stamps(self) -> Mapping[str, str]:
        """What is told of each dye, by its name, in short; with its place among the dyes."""
        return {dye.of.name: digest_of(n, dye.of) for n, dye in enumerate(self.dye_views)}

    @cached_property
    def outlet_views(self) -> list[OutletView]:
        """Places to see the work from today on."""
        return outlet_views(self.outlets, self.listed, self.studio.today)

    @cached_property
    def outlet_stamps(self) -> tuple[tuple[PublicOutlet, bool, tuple[str, ...]], ...]:
        """What is shown of places comes from."""
        views = self.outlet_views
        return tuple((each.of, each.is_ahead, stamps(each.pieces)) for each in views)

    @cached_property
    def outlets_told(self) -> frozenset[str]:
        """The names of the outlets that the page of places tells of."""
        return frozenset(each.of.name for each in self.outlet_views if each.of.kind != "website")

    @cached_property
    def show_views(self) -> tuple[ShowView, ...]:
        """Every exhibition: on and to come, then past."""
        return show_views(self.shows, self.listed, self.studio.today)

    @cached_property
    def shows_told(self) -> frozenset[str]:
        """The addresses of the pages of exhibitions."""
        return frozenset(view.of.path for view in self.show_views)

    @cached_property
    def rows(self) -> Rows:
        """The row of each piece in lists."""
        return Rows(self.studio, self._frame_stamp, self.once, "row", on_a_wall)

    @cached_property
    def rows_to_scale(self) -> Rows:
        """What stands for each piece on the page of all works to scale."""
        return Rows(self.studio, self._frame_stamp, self.once, "row_to_scale", at_scale)

    @cached_property
    def look(self) -> Look:
        """The stylesheet and the script of every page, with the letters."""
        return look(self.letters, self.studio.templates)

    @cached_property
    def _frame_stamp(self) -> str:
        return digest_of(*self.frame)

    @cached_property
    def places(self) -> Mapping[str, int]:
        """The place of each listed piece in the lists, by its number."""
        return {piece.card.number: place for place, piece in enumerate(self.listed)}

    @cached_property
    def frame(self) -> tuple[Any, ...]:
        """What every page comes from: the studio, its look, the words in its menus, its own
        templates.

        An own template may use all that pages are given; the day counts only where one tells it.
        """
        own = own_texts(self.studio.templates)
        tells_day = any(b"today" in text for text in own.values())
        phrases = self.studio.phrases
        told = {each.name: getattr(self.studio, each.name) for each in fields(self.studio)}
        told["phrases"] = (phrases.language, phrases.currency, phrases.decimal_comma)
        studio = told if tells_day else {**told, "today": ""}
        menus = tuple((each.name, each.title) for each in self.words.values())
        pieces = stamps(self.listed) if own else ()
        look = self.look.style, self.look.script
        return studio, look, self.own_words, menus, own, pieces


def stamps(pieces: Sequence[ShownPiece]) -> tuple[str, ...]:
    """What is shown of some pieces comes from."""
    return tuple(piece.stamp for piece in pieces)
