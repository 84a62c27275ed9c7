"""Keys of pieces: one short name for all that the public facts of a piece come from.

In: the border. Out: for each number a key. It covers the piece's own record, every lot, bath and
draw on its way from the fleece (and how much of each was drawn in all), what is told of the shows
it hangs in and how they stand today, the studio file, outlets, light tests, the words of the
language, the markets, and the program itself. Two runs with the same key have the same facts, so
that they need not be worked out again.
"""

from collections.abc import Mapping
from functools import cached_property
from typing import Any

from provenance.build.program import program
from provenance.digest import digest_of
from provenance.figures.flow.flow import Key
from provenance.figures.flow.strands import key_of
from provenance.figures.money.cost import valued_on
from provenance.public.been import exhibited
from provenance.public.border import Border


class PieceKeys:
    """The keys of all pieces of one border."""

    def __init__(self, border: Border) -> None:
        self._border, self._book, self._flow = border, border.book, border.flow
        self._known: dict[Key, str] = {}
        self._pieces: dict[str, str] = {}

    def of(self, number: str) -> str:
        """The key of one piece."""
        if number not in self._pieces:
            piece = self._book.pieces[number]
            day = valued_on(piece, self._border.studio.today)
            shown = exhibited(self._border, number)
            self._pieces[number] = digest_of(self._frame, self._of_node(key_of(piece)), day, shown)
        return self._pieces[number]

    @cached_property
    def _frame(self) -> str:
        """What every piece's facts come from."""
        book, phrases = self._book, self._border.phrases
        words = (phrases.language, phrases.currency, phrases.decimal_comma)
        records = (book.studio, book.outlets, book.light_tests, book.broken, str(book.folder))
        return digest_of(program(), self._border.markets, *words, *records)

    def _of_node(self, node: Key) -> str:
        """The key of a lot, bath or piece: its record, and all that flows into it.

        Sources come before what they flow into, so that a long chain needs no deep stack.
        """
        waiting = [node]
        while waiting:
            ahead = [d.source for d in self._flow.into.get(waiting[-1], ())
                     if d.source not in self._known]  # fmt: skip
            if ahead:
                waiting += ahead
                continue
            done = waiting.pop()
            if done not in self._known:
                self._known[done] = self._worked(done)
        return self._known[node]

    def _worked(self, node: Key) -> str:
        into = [(self._known[d.source], d.amount) for d in self._flow.into.get(node, ())]
        whole = self._flow.whole(node) if node in self._flow.nodes else None
        return digest_of(node.kind, node.name, self._record(node), whole, into)

    def _record(self, node: Key) -> Any:
        """What is written of a node; a colour measured from a swatch belongs to it."""
        book = self._book
        if node.kind == "piece":
            piece = book.pieces[node.name]
            return book.digests[piece.record_place.file], tuple(str(p.file) for p in piece.photos)
        if node.kind == "dyed":
            dyed = book.dyed[node.name]
            return dyed.bath_name, dyed.bath, dyed.entry, self._swatches(dyed.bath)
        kinds: Mapping[str, Mapping[str, Any]] = {
            "fleece": book.fleece, "dyestuff": book.dyestuffs, "mordant": book.mordants,
            "sundry": book.sundries, "yarn": book.yarns, "bath": book.baths,
        }  # fmt: skip
        return kinds.get(node.kind, {}).get(node.name)

    def _swatches(self, bath: Any) -> tuple[str, ...]:
        colours = self._border.studio.swatches
        names = (str(each) for each in (bath.swatch, *(one.swatch for one in bath.dyed)) if each)
        return tuple(colours[name] for name in names if name in colours)
