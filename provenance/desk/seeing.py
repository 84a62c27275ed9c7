"""The page of a piece as it would be published, in memory, with what lies round it.

In: a reading of the studio, a number, the built site where there is one. Out: the bytes of the page
just as `build` would write them, and of what it shows: pictures from the cache or made now (in
worker processes), style and letters; anything else of the site as it was built last. Statements are
those that have been signed: nothing is signed or issued here.
"""

import mimetypes
from collections.abc import Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from provenance.build.letters import site_letters
from provenance.build.pictures import Ready, Wanted, pictures_of
from provenance.build.sealing import open_sealing
from provenance.build.wanted import wanted_of
from provenance.desk.memory import Memory, Seen
from provenance.language.catalogue import own_words
from provenance.problems import Said, Slip
from provenance.public.card import Card
from provenance.public.piece import PhotoFacts
from provenance.public.shelves import public_dye, public_fleece
from provenance.records.folder import leads_inside
from provenance.site import shown
from provenance.site.pages import piece_page
from provenance.site.shown import Rendered, ShownPiece, picture_path
from provenance.site.style import look
from provenance.site.whole import Site

Photos = list[tuple[Card, PhotoFacts, Wanted]]


@dataclass(frozen=True, slots=True)
class Sight:
    """What looking takes: the studio in memory, worker processes, the built site."""

    memory: Memory
    pool: Executor
    site: Path | None = None

    def page(self, seen: Seen, number: str) -> bytes:
        """The page of a piece. Slip for what nobody can know of it."""
        wanted = self.memory.work(lambda: _wanted(seen, number))
        pending = pictures_of([one for *_, one in wanted]).start(self.pool)
        made = {each.wanted: each.renditions for each in pending.results(_quietly)}
        return self.memory.work(partial(_page, seen, number, wanted, made))

    def file(self, seen: Seen, name: str) -> tuple[bytes, str] | None:
        """A file of the site beside a page and its type; None for one that isn't there."""
        kind = mimetypes.guess_type(name)[0] or "application/octet-stream"
        files = seen.once("look", lambda: self.memory.work(lambda: _look(seen)))
        if name in files:
            return files[name], kind
        ready = self.memory.work(lambda: self.memory.made(f"picture {name}"))
        if isinstance(ready, Ready):
            return ready.content, kind
        path = self.site / name if self.site else None
        if path is None or not leads_inside(path, self.site or path) or not path.is_file():
            return None
        return path.read_bytes(), kind


def _quietly(done: int, whole: int) -> None:
    """Nobody is told."""


def _cards(seen: Seen) -> dict[str, Card]:
    """The cards of all that have a page, in the order of the record book."""
    known = {str(line.number) for line in seen.studio.book.printed if line.address}
    pieces = seen.studio.book.pieces.items()
    wanted = [number for number, each in pieces
              if each.state != "withdrawn" and (not each.is_draft or number in known)]  # fmt: skip
    return {number: seen.facts.card(seen.border, number) for number in wanted}


def _wanted(seen: Seen, number: str) -> Photos:
    """The photos that the page of a piece shows: its own, and that of the newest piece."""
    cards = _all_cards(seen, number)
    dated = sorted((c for c in cards.values() if not c.is_draft and c.photos),
                   key=lambda card: (card.dated, card.number))  # fmt: skip
    shown = {card.number: card for card in (cards[number], *dated[-1:])}
    return [(card, photo, wanted_of(seen.border.house, card, photo))
            for card in shown.values() for photo in card.photos]  # fmt: skip


def _all_cards(seen: Seen, number: str) -> dict[str, Card]:
    cards = seen.once("cards", lambda: _cards(seen))
    if number in cards:
        return cards
    if seen.studio.piece(number).record.state == "withdrawn":
        raise Slip(Said("desk.withdrawn"))
    return {**cards, number: seen.facts.card(seen.border, number)}


def _page(seen: Seen, number: str, photos: Photos, made: Mapping[Wanted, Sequence[Ready]]) -> bytes:
    rendered: dict[str, dict[str, list[Rendered]]] = {}
    for card, photo, wanted in photos:
        files = []
        for each in made[wanted]:
            path = picture_path(card, photo, each.width, each.format, each.digest)
            seen.made[f"picture {path}"] = each
            files.append(Rendered(path, each.width, each.height, each.format))
        files.sort(key=lambda file: (file.format, file.width))
        rendered.setdefault(card.number, {})[photo.file] = files
    border, key = seen.border, partial(seen.facts.key, seen.border)
    pieces = [
        ShownPiece(card, shown.pictures_of(card, rendered.get(card.number, {})),
                   partial(border.piece, card.number), key(card.number))
        for card in _all_cards(seen, number).values()
    ]  # fmt: skip
    one = next(each for each in pieces if each.card.number == number)
    return piece_page(_site(seen, pieces, one), one)


def _site(seen: Seen, pieces: Sequence[ShownPiece], one: ShownPiece) -> Site:
    """What the page of one piece is made from; of statements those of this piece alone."""
    book, border = seen.studio.book, seen.border
    sealing = seen.once("sealing", lambda: open_sealing(border, asks=False))
    return Site(
        studio=border.house,
        dyes=tuple(public_dye(border, lot) for lot in book.dyestuffs.values()),
        fleeces=tuple(public_fleece(border, lot) for lot in book.fleece.values()),
        outlets=tuple(border.outlet(name) for name in book.outlets),
        pieces=tuple(pieces),
        withdrawn=(),
        words=book.own_pages,
        letters=site_letters(),
        own_words=own_words(book.studio),
        trusted=sealing.trusted if sealing else None,
        sealed=sealing.shown([one]) if sealing else None,
        once=seen.memo.once,
        shows=border.shows,
    )


def _look(seen: Seen) -> Mapping[str, bytes]:
    """Style, script and letters of the site, by the names that its pages ask for."""
    return look(site_letters(), seen.border.house.templates).files
