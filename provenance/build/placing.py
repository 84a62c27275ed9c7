"""Where the public pictures of every piece lie on the site.

In: cards of pieces, the tree in the making with the site before it. Out: the pictures of each
photo, put into the tree: carried over together where nothing that they come from has changed, else
from the cache, else made. A photo that can't be read any more keeps the pictures the site has.
"""

from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass

from provenance.build.digests import PhotoDigests
from provenance.build.facts import Facts
from provenance.build.last_good import last_good, not_made
from provenance.build.memo import Memo
from provenance.build.pictures import Made, Wanted, pictures_of
from provenance.build.program import program
from provenance.build.sealing import Sealing
from provenance.build.wanted import Found, Pictures, wanted_of
from provenance.digest import digest_of
from provenance.output import Tree
from provenance.press.pictures.credit import credit_of
from provenance.press.pictures.threads import cloth_of
from provenance.problems import Problem, Slip
from provenance.public.border import Border
from provenance.public.card import Card
from provenance.public.piece import PhotoFacts
from provenance.public.studio import PublicStudio
from provenance.site.shown import Rendered, picture_path
from provenance.workers import Tell


def _nothing() -> None:
    """What is begun where nothing is to be."""


@dataclass(frozen=True, slots=True)
class Hands:
    """What a build works with: what is kept from before, worker processes (one of them warm for
    papers), what is to be begun while these make pictures of so many photos; statements of a studio
    that has a key, and what is to be begun once all pictures are placed."""

    memo: Memo
    facts: Facts
    photos: PhotoDigests
    pool: Executor
    warm: Executor
    meanwhile: Callable[[int], None]
    sealing: Sealing | None = None
    pictured: Callable[[], None] = _nothing


def placed_pictures(
    border: Border, pieces: Sequence[Card], tree: Tree, hands: Hands, tell: Tell
) -> tuple[Pictures, list[Problem]]:
    """Where every public picture lies, and what is wrong with photos."""
    photos = hands.photos
    keys = {each.number: _key(border.house, each, photos) for each in pieces}
    photos.keep()
    known = {each.number: _carried(each, keys[each.number], tree, hands.memo) for each in pieces}
    rendered: Pictures = {number: found for number, found in known.items() if found is not None}
    others = [each for each in pieces if each.number not in rendered]
    made, faults = _made(border, others, tree, hands, tell)
    for number, found in made.items():
        if keys[number] and number not in faults:  # what is wrong is told by every build
            hands.memo.put(f"pictures {number}", keys[number], (found, _digests(found, tree)))
    return rendered | made, sorted(problem for found in faults.values() for problem in found)


def _key(studio: PublicStudio, piece: Card, photos: PhotoDigests) -> str:
    """All that the pictures of a piece come from; '' where a photo can't be had."""
    try:
        held = [photos.held(photo.path) for photo in piece.photos]
    except (OSError, Slip):
        return ""
    told = [(photo.file, credit_of(studio, piece, photo), cloth_of(piece.yarns, photo.view))
            for photo in piece.photos]  # fmt: skip
    return digest_of(program(), held, told)


def _carried(piece: Card, key: str, tree: Tree, memo: Memo) -> Found | None:
    """The pictures of a piece as the site before has them, when they are what they would be."""
    kept = memo.get(f"pictures {piece.number}", key) if key else None
    if kept is None:
        return None
    found, digests = kept
    if any(tree.before.get(path) != digest for path, digest in digests.items()):
        return None
    for path, digest in digests.items():
        tree.keep(path, digest)
    return found  # type: ignore[no-any-return]


def _digests(found: Found, tree: Tree) -> dict[str, str]:
    return {each.path: tree.digest(each.path) for files in found.values() for each in files}


def _made(
    border: Border, pieces: Sequence[Card], tree: Tree, hands: Hands, tell: Tell
) -> tuple[Pictures, dict[str, list[Problem]]]:
    """Make pictures that are not in the cache, put all into the tree, and say where they lie; and
    what is wrong with photos, by the number of their piece."""
    house = border.house
    owners: dict[Wanted, list[tuple[Card, PhotoFacts]]] = {}
    for each in pieces:
        for photo in each.photos:
            owners.setdefault(wanted_of(house, each, photo), []).append((each, photo))
    # in the order of the record, whichever picture is ready first: statements tell them in it
    rendered: Pictures = {each.number: {photo.file: [] for photo in each.photos} for each in pieces}
    faults: dict[str, list[Problem]] = {}
    pending = pictures_of(list(owners)).start(hands.pool)
    hands.meanwhile(pending.missing)
    for made in pending.results(tell):
        for owner, photo in owners[made.wanted]:
            if made.slip:
                place = border.studio.piece(owner.number).record.place_of(photo.file)
                placed = last_good(tree, owner, photo)
                faults.setdefault(owner.number, []).append(not_made(place, made.slip, placed))
            else:
                placed = _placed(made, owner, photo, tree)
            rendered[owner.number][photo.file] = placed
    return rendered, faults


def _placed(made: Made, owner: Card, photo: PhotoFacts, tree: Tree) -> list[Rendered]:
    placed = []
    for each in made.renditions:
        path = picture_path(owner, photo, each.width, each.format, each.digest)
        if not tree.keep(path, each.digest):
            tree.put(path, each.content)
        placed.append(Rendered(path, each.width, each.height, each.format))
    return sorted(placed, key=lambda file: (file.format, file.width))
