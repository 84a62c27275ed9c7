"""A piece's row in the lists, written once however many lists it stands in.

In: the pieces, something that keeps texts. Out: markup for a page. A row is the same on every page
but for the way back to the root, which is put in at the last.
"""

from collections.abc import Callable
from typing import Any

from provenance.digest import digest_of
from provenance.press.markup import as_markup
from provenance.press.templates import render
from provenance.public.studio import PublicStudio
from provenance.site.shown import ShownPiece

_ROOT = "\0"
Once = Callable[[str, str, Callable[[], str]], str]


class Rows:
    """The rows of a site; `once` keeps a text under a name and a key."""

    def __init__(self, studio: PublicStudio, frame: str, once: Once) -> None:
        self._studio, self._frame, self._once = studio, frame, once
        self._known: dict[str, str] = {}

    def under(self, root: str) -> Callable[[ShownPiece], Any]:
        """What a page calls to get the row of a piece."""
        return lambda piece: as_markup(self._of(piece).replace(_ROOT, root))

    def _of(self, piece: ShownPiece) -> str:
        number = piece.card.number
        if number not in self._known:
            key = digest_of(self._frame, piece.stamp)
            self._known[number] = self._once(f"row {number}", key, lambda: self._written(piece))
        return self._known[number]

    def _written(self, piece: ShownPiece) -> str:
        context = {
            "it": piece,
            "root": _ROOT,
            "address": "",
            "studio": self._studio,
            "phrases": self._studio.phrases,
            "say": self._studio.phrases.say,
        }
        return render("site/row.html", context, self._studio.templates).rstrip("\n")
