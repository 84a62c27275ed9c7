"""The border: the only way from the worked-out studio to pages and papers for others.

In: a studio, a language, markets. Out: public facts of the studio, its pieces and outlets, each
made once. Whoever makes a page or paper is handed these facts, never the border itself.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import cached_property
from typing import Protocol, TypeVar

from provenance.public.outlet import PublicOutlet, public_outlet
from provenance.public.piece import PublicPiece, public_piece
from provenance.public.show import PublicShow, public_show
from provenance.public.studio import PublicStudio, public_studio
from provenance.public.view import View, studio_markets
from provenance.records.lots import Outlet
from provenance.studio import Studio

Value = TypeVar("Value")
AT_HAND = 64  # facts held in memory, where the others are kept elsewhere


class Keeping(Protocol):
    """Something that knows facts of pieces from earlier."""

    def key(self, border: Border, number: str) -> str:
        """The same as long as all is the same that the facts of a piece come from."""

    def known(self, border: Border, number: str) -> PublicPiece | None:
        """The facts of a piece, when nothing they come from has changed."""

    def keep(self, border: Border, number: str, facts: PublicPiece) -> None:
        """Keep the facts of a piece for later."""

    def worked(
        self, what: str, border: Border, number: str, work: Callable[[], Value], more: str
    ) -> Value:
        """Something that comes from the facts of a piece (and from `more`), worked out once."""


class Border(View):
    """One studio in one language, for its markets; what was made is kept, with `keeping` for
    later runs too."""

    def __init__(
        self,
        studio: Studio,
        language: str = "",
        markets: tuple[str, ...] | None = None,
        keeping: Keeping | None = None,
    ) -> None:
        super().__init__(studio, language, markets)
        self.keeping = keeping
        self._pieces: dict[str, PublicPiece] = {}
        self._others: dict[tuple[str, tuple[str, ...]], Border] = {}

    def speaking(self, outlet: Outlet | None) -> Border:
        """The border in the language of an outlet and for its markets; else this one."""
        if outlet is None:
            return self
        language = str(outlet.language or self.phrases.language)
        markets = self._markets_at(outlet, language)
        if (language, markets) == (self.phrases.language, self.markets):
            return self
        if (language, markets) not in self._others:
            asked = "" if language == str(self.studio.file.language) else language
            self._others[language, markets] = Border(self.studio, asked, markets, self.keeping)
        return self._others[language, markets]

    def _markets_at(self, outlet: Outlet, language: str) -> tuple[str, ...]:
        """The outlet's own markets, else the studio's.

        UK and US labels are English: an outlet of another language than the studio's gets the
        EU's, told in that language (Regulation (EU) No 1007/2011 Art. 16(3)), where the studio
        prints for the EU.
        """
        if outlet.labels_for:
            return tuple(dict.fromkeys(map(str, outlet.labels_for)))
        own = studio_markets(self.studio)
        is_abroad = language != self.studio.file.language and not language.startswith("en")
        return ("EU",) if is_abroad and "EU" in own else own

    def at_outlet_of(self, number: str) -> Border:
        """The border in the language of the outlet where a piece is."""
        at = self.studio.piece(number).record.at
        return self.speaking(self.book.outlets.get(at) if at else None)

    @cached_property
    def house(self) -> PublicStudio:
        """The studio's public side."""
        return public_studio(self)

    def piece(self, number: str) -> PublicPiece:
        """The public facts of a piece. Raises Slip for what nobody can know of it."""
        if number in self._pieces:
            return self._pieces[number]
        facts = self.keeping.known(self, number) if self.keeping else None
        if facts is None:
            facts = public_piece(self, self.studio.piece(number))
            if self.keeping:
                self.keeping.keep(self, number, facts)
        self._pieces[number] = facts
        while self.keeping and len(self._pieces) > AT_HAND:
            first = next(iter(self._pieces))
            del self._pieces[first]
            self.studio.let_go(first)
        return facts

    def once(self, what: str, number: str, work: Callable[[], Value], more: str = "") -> Value:
        """Something that comes from the facts of a piece (and from `more`) alone: worked out now,
        or kept from before."""
        return self.keeping.worked(what, self, number, work, more) if self.keeping else work()

    def show(self, name: str) -> PublicShow:
        """A show as others may know it, in this border's language (`speaking` has that of its
        outlet). Raises Slip for a name nobody knows."""
        return public_show(self, self.studio.show(name))

    @property
    def shows(self) -> tuple[PublicShow, ...]:
        """Every show, by its first day; those without dates last. One whose record is not yet the
        maker's own is left out."""
        shows, is_at_home = self.book.shows.items(), self.studio.is_at_home
        found = [self.show(name) for name, show in shows if not is_at_home(show)]
        return tuple(sorted(found, key=lambda each: (each.first or date.max, each.name)))

    def outlet(self, name: str) -> PublicOutlet:
        """An outlet as others may know it. Raises Slip for a name nobody knows."""
        return public_outlet(self, self.studio.outlet(name))
