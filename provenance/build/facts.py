"""The public facts of pieces, worked out once and kept from build to build.

In: the memo of a studio. Out: for each piece its key, its card and its facts, from the memo where
nothing that they come from has changed. The border asks here before it works anything out.
"""

from collections.abc import Callable
from typing import TypeVar

from provenance.build.memo import Memo
from provenance.build.piece_keys import PieceKeys
from provenance.public.border import Border
from provenance.public.card import Card, card_of
from provenance.public.piece import PublicPiece

Value = TypeVar("Value")


class Facts:
    """What is known of pieces from earlier builds, in every language they are told in."""

    def __init__(self, memo: Memo) -> None:
        self._memo = memo
        self._keys: dict[tuple[str, tuple[str, ...]], PieceKeys] = {}

    def key(self, border: Border, number: str) -> str:
        """The same as long as everything is that the facts of a piece come from."""
        about = (border.phrases.language, border.markets)
        if about not in self._keys:
            self._keys[about] = PieceKeys(border)
        return self._keys[about].of(number)

    def known(self, border: Border, number: str) -> PublicPiece | None:
        """The facts of a piece, where they are kept."""
        found = self._memo.get(_name("facts", border, number), self.key(border, number))
        return found if isinstance(found, PublicPiece) else None

    def keep(self, border: Border, number: str, facts: PublicPiece) -> None:
        """Keep the facts of a piece."""
        self._memo.put(_name("facts", border, number), self.key(border, number), facts)

    def card(self, border: Border, number: str) -> Card:
        """The card of a piece. Raises Slip for what nobody can know of it."""
        return self.worked("card", border, number, lambda: card_of(border.piece(number)))

    def worked(
        self, what: str, border: Border, number: str, work: Callable[[], Value], more: str = ""
    ) -> Value:
        """Something that comes from the facts of a piece (and from `more`), worked out once."""
        return self._memo.once(_name(what, border, number), self.key(border, number) + more, work)


def _name(what: str, border: Border, number: str) -> str:
    return " ".join((what, border.phrases.language, *border.markets, number))
