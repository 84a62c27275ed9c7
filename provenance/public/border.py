"""The border: the only way from the worked-out studio to pages and papers for others.

In: a studio and a language. Out: public facts of the studio, its pieces and outlets, each made
once. Whoever makes a page or paper is handed these facts, never the border itself.
"""

from __future__ import annotations

from functools import cached_property

from provenance.public.outlet import PublicOutlet, public_outlet
from provenance.public.piece import PublicPiece, public_piece
from provenance.public.studio import PublicStudio, public_studio
from provenance.public.view import View
from provenance.records.lots import Outlet
from provenance.studio import Studio


class Border(View):
    """One studio in one language; what was made is kept."""

    def __init__(self, studio: Studio, language: str = "") -> None:
        super().__init__(studio, language)
        self._pieces: dict[str, PublicPiece] = {}
        self._others: dict[str, Border] = {}

    def speaking(self, outlet: Outlet | None) -> Border:
        """The border in the language of an outlet; this one where the outlet names none."""
        language = str(outlet.language or "") if outlet else ""
        if language in ("", self.phrases.language):
            return self
        if language not in self._others:
            self._others[language] = Border(self.studio, language)
        return self._others[language]

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
        if number not in self._pieces:
            self._pieces[number] = public_piece(self, self.studio.piece(number))
        return self._pieces[number]

    def outlet(self, name: str) -> PublicOutlet:
        """An outlet as others may know it. Raises Slip for a name nobody knows."""
        return public_outlet(self, self.studio.outlet(name))
