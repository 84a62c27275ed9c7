"""The page of a piece as it would be published, in memory, with what lies round it.

In: a reading of the studio, a number, the built site where there is one. Out: the bytes of the page
just as `build` would write them, and of what it shows: pictures from the cache or made now (in
worker processes), style and letters; anything else of the site as it was built last. Statements are
those that have been signed: nothing is signed or issued here. Of other pieces only those are looked
at that the page shows, so that a thousand need not be worked out for the sight of one; what is long
is asked for piece by piece, so that a save meanwhile waits for one of them at most.
"""

import hashlib
import mimetypes
from collections.abc import Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path

from provenance.build.letters import site_letters
from provenance.build.pictures import Ready, Wanted, pictures_of
from provenance.build.sealing import open_sealing
from provenance.build.sharing import made_before, remember, share_of
from provenance.build.site import site_of, with_pages
from provenance.build.wanted import wanted_of
from provenance.desk.memory import Memory, Seen
from provenance.press.pictures.sharing import share_picture
from provenance.press.templates import own_texts
from provenance.problems import Said, Slip
from provenance.public.card import Card
from provenance.public.piece import PhotoFacts
from provenance.public.shelves import public_dye
from provenance.records.folder import leads_inside
from provenance.site.pages import piece_page
from provenance.site.shown import Rendered, ShownPiece, picture_path, share_path
from provenance.site.shown import pictures_of as pictures_of_card
from provenance.site.style import Look, look

Cards = dict[str, Card]
Photos = list[tuple[Card, PhotoFacts, Wanted]]
Pictures = Mapping[Wanted, Sequence[Ready]]
_MOST_PICTURES = 1000  # whose names are known; their bytes lie in the cache


@dataclass(frozen=True, slots=True)
class Sight:
    """What looking takes: the studio in memory, worker processes, the built site; and the pictures
    of pages that were shown: a browser may still ask for them when the records are others."""

    memory: Memory
    pool: Executor
    site: Path | None = None
    pictures: dict[str, Ready] = field(default_factory=dict)

    def page(self, seen: Seen, number: str) -> bytes:
        """The page of a piece. Slip for what nobody can know of it."""
        work = self.memory.work
        cards: Cards = {}
        for each in work(lambda: _shown_with(seen, number)):
            cards[each] = work(partial(seen.facts.card, seen.border, each))
        wanted = work(lambda: _wanted(seen, cards, number))
        pending = pictures_of([one for *_, one in wanted]).start(self.pool)
        made = {each.wanted: each.renditions for each in pending.results(_quietly)}
        pieces = work(lambda: _pieces(seen, cards, wanted, made, self.pictures))
        pieces = [self._with_share(seen, each) for each in pieces]
        return work(lambda: _page(seen, pieces, number))

    def _with_share(self, seen: Seen, piece: ShownPiece) -> ShownPiece:
        """The piece with where the picture lies that its page is passed on with."""
        source = self.pictures.get(piece.lead.for_sharing.path) if piece.lead else None
        if source is None:
            return piece
        house, memo, work = seen.border.house, seen.memo, self.memory.work
        share = work(lambda: share_of(house, piece, source.digest))
        digest = work(lambda: made_before(memo, share))
        if not digest:
            making = self.pool.submit(share_picture, source.content, share.passed, share.xmp)
            digest = hashlib.sha256(making.result()).hexdigest()
            work(lambda: remember(memo, share, digest))
        return replace(piece, share=share_path(piece.card.number, digest))

    def file(self, seen: Seen, name: str) -> tuple[bytes, str] | None:
        """A file of the site beside a page and its type; None for one that isn't there."""
        kind = mimetypes.guess_type(name)[0] or "application/octet-stream"
        found = seen.once("look", lambda: self.memory.work(lambda: _look(seen))).files
        if name in found:
            return found[name], kind
        if ready := self.pictures.get(name):
            return ready.content, kind
        path = self.site / name if self.site else None
        if path is None or not leads_inside(path, self.site or path) or not path.is_file():
            return None
        return path.read_bytes(), kind


def _quietly(done: int, whole: int) -> None:
    """Nobody is told."""


def _shown_with(seen: Seen, number: str) -> tuple[str, ...]:
    """The numbers of the pieces that a page comes from: its own, and those beside it in the lists.

    Templates of a studio's own may show any. Whether a dye has a page that a draft can lead to may
    rest with every other piece, where the dye book has no colour of it.
    """
    if seen.studio.piece(number).record.state == "withdrawn":
        raise Slip(Said("desk.withdrawn"))
    listed = seen.once("listed", lambda: _listed(seen))
    if own_texts(seen.border.house.templates):
        return tuple(dict.fromkeys((*with_pages(seen.studio), number)))
    if number in listed:
        place = listed.index(number)
        return listed[max(place - 1, 0) : place + 2]
    return (*listed, number) if _has_bare_dye(seen, number) else (number,)


def _listed(seen: Seen) -> tuple[str, ...]:
    """The numbers of all in the lists, newest first; `Site.listed` has this order from cards."""
    pieces = seen.studio.book.pieces.items()
    shown = ((str(each.finish or each.year), number) for number, each in pieces
             if each.state != "withdrawn" and not each.is_draft)  # fmt: skip
    return tuple(number for _, number in sorted(shown, reverse=True))


def _has_bare_dye(seen: Seen, number: str) -> bool:
    """Whether a piece carries a dye of which the dye book shows no colour."""
    names, lots = seen.facts.card(seen.border, number).dye_names, seen.studio.book.dyestuffs
    dyes = (public_dye(seen.border, lots[name]) for name in names if name in lots)
    return any(not dye.swatches for dye in dyes)


def _wanted(seen: Seen, cards: Cards, number: str) -> Photos:
    """The photos that the page of a piece shows: its own; where templates are the studio's own,
    those of the newest piece too."""
    shown = {number: cards[number]}
    if own_texts(seen.border.house.templates):
        dated = sorted((c for c in cards.values() if not c.is_draft and c.photos),
                       key=lambda card: (card.dated, card.number))  # fmt: skip
        shown |= {card.number: card for card in dated[-1:]}
    return [(card, photo, wanted_of(seen.border.house, card, photo))
            for card in shown.values() for photo in card.photos]  # fmt: skip


def _pieces(
    seen: Seen, cards: Cards, photos: Photos, made: Pictures, known: dict[str, Ready]
) -> list[ShownPiece]:
    """The pieces with where their pictures lie, which are noted among the `known`."""
    rendered: dict[str, dict[str, list[Rendered]]] = {}
    for card, photo, wanted in photos:
        files = []
        for each in made[wanted]:
            path = picture_path(card, photo, each.width, each.format, each.digest)
            known[path] = each
            files.append(Rendered(path, each.width, each.height, each.format))
        files.sort(key=lambda file: (file.format, file.width))
        rendered.setdefault(card.number, {})[photo.file] = files
    for path in list(known)[:-_MOST_PICTURES]:
        del known[path]
    border, key = seen.border, partial(seen.facts.key, seen.border)
    return [
        ShownPiece(card, pictures_of_card(card, rendered.get(number, {})),
                   partial(border.piece, number), key(number))
        for number, card in cards.items()
    ]  # fmt: skip


def _page(seen: Seen, pieces: Sequence[ShownPiece], number: str) -> bytes:
    """The page, with statements of this piece alone."""
    one = next(each for each in pieces if each.card.number == number)
    sealing = seen.once("sealing", lambda: open_sealing(seen.border, asks=False))
    return piece_page(site_of(seen.border, pieces, [one], sealing, seen.memo, site_letters()), one)


def _look(seen: Seen) -> Look:
    """Style, script and letters of the site, by the names that pages ask for them under."""
    return look(site_letters(), seen.border.house.templates)
