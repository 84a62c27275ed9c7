"""A piece's row in the lists, written once however many lists it stands in.

In: the pieces, something that keeps texts. Out: markup for a page. A row is the same on every page
but for the way back to the root, which is put in at the last.
"""

from collections.abc import Callable, Mapping
from typing import Any

from provenance.press.markup import as_markup
from provenance.press.templates import render
from provenance.public.studio import PublicStudio
from provenance.site.shown import ShownPiece
from provenance.site.wall import width_of

_ROOT = "\0"
Once = Callable[[str, str, Callable[[], str]], str]
Written = Callable[[ShownPiece], Mapping[str, Any]]


class Rows:
    """The rows of a site from one template; `once` keeps a text under a name and a key, `written`
    says what the template is given of a piece."""

    def __init__(
        self, studio: PublicStudio, frame: str, once: Once, name: str, written: Written
    ) -> None:
        self._studio, self._frame, self._once = studio, frame, once
        self._name, self._written = name, written
        self._known: dict[str, str] = {}

    def under(self, root: str) -> Callable[[ShownPiece], Any]:
        """What a page calls to get the row of a piece."""
        return lambda piece: as_markup(self._of(piece).replace(_ROOT, root))

    def _of(self, piece: ShownPiece) -> str:
        number = piece.card.number
        if number not in self._known:
            name, key = f"{self._name} {number}", self._frame + piece.stamp
            self._known[number] = self._once(name, key, lambda: self._made(piece))
        return self._known[number]

    def _made(self, piece: ShownPiece) -> str:
        context = {
            **self._written(piece),
            "root": _ROOT,
            "address": "",
            "studio": self._studio,
            "phrases": self._studio.phrases,
            "say": self._studio.phrases.say,
        }
        return render(f"site/{self._name}.html", context, self._studio.templates).rstrip("\n")


def on_a_wall(piece: ShownPiece) -> Mapping[str, Any]:
    """What a row in lists is written from."""
    return {"it": piece, "wide": width_of(piece)}
