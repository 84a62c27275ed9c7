"""The pictures a site has of a photo that can't be read any more: they stay until there are others.

In: the tree in the making with the site before it, a piece, one of its photos. Out: where its
pictures lie. All is learned from the site itself, as the cache may be lost. Its files are numbered
by the photo's place in its record, which may have moved; whose picture one is, the words for those
who can't see it tell, which are written into it.
"""

import re
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from provenance.output import Tree
from provenance.press.file_names import without_digest
from provenance.press.pictures.photos import Seen, seen_in
from provenance.press.pictures.threads import KIND, Cloth, cloth_of, size_of
from provenance.problems import Place, Problem, Said, Slip
from provenance.public.card import Card
from provenance.public.piece import PhotoFacts
from provenance.site.shown import Rendered, picture_path

_ENDINGS = ("jpg", "avif", "js")
_STAYS = "picture.stays"


def last_good(tree: Tree, owner: Card, photo: PhotoFacts) -> list[Rendered]:
    """Carry over what the site before shows of a photo; nothing where it shows none."""
    own = owner.photos.index(photo) + 1
    others = {each.alt for each in owner.photos if each is not photo}
    shown = _shown(tree, owner.number)
    for position in sorted(shown, key=lambda position: position != own):
        files = [(name, seen) for name in shown[position] if (seen := _seen(tree, name))]
        words = {seen.alt for _, seen in files}
        is_it = words == {photo.alt} or (position == own and not words & others)
        if is_it and any(seen.format == "jpeg" for _, seen in files):
            files += _threads(tree, shown[position], cloth_of(owner.yarns, photo.view))
            return sorted(_carried(tree, owner, photo, files), key=lambda it: (it.format, it.width))
    return []


def not_made(place: Place, slip: Slip, kept: list[Rendered]) -> Problem:
    """What is wrong with a photo, and whether the public goes on seeing it."""
    what = Said(_STAYS, what=slip.what) if kept else slip.what
    return Problem(place, what, slip.remedy)


def is_kept(problem: Problem) -> bool:
    """Whether the public goes on seeing a photo that can't be read."""
    return isinstance(problem.what, Said) and problem.what.key == _STAYS


def _shown(tree: Tree, number: str) -> dict[int, list[str]]:
    """The pictures of a piece by the place of their photo."""
    named = re.compile(rf"pictures/{re.escape(number)}-(\d+)-\d+\.({'|'.join(_ENDINGS)})")
    found: dict[int, list[str]] = {}
    for name in tree.before:
        if match := named.fullmatch(without_digest(name)):
            found.setdefault(int(match[1]), []).append(name)
    return found


def _threads(tree: Tree, names: list[str], cloth: Cloth) -> Iterator[tuple[str, Seen]]:
    """The file that says where which yarn of this cloth lies."""
    for name in (each for each in names if each.endswith(".js")):
        with suppress(OSError):
            if size := size_of((tree.target / name).read_bytes(), cloth):
                yield name, Seen(*size, KIND, "")


def _seen(tree: Tree, name: str) -> Seen | None:
    """A picture as it lies there; None for what is none."""
    try:
        return seen_in(tree.target / name, Path(name).name)
    except Slip:
        return None


def _carried(
    tree: Tree, owner: Card, photo: PhotoFacts, files: list[tuple[str, Seen]]
) -> Iterator[Rendered]:
    for old, seen in files:
        digest = tree.before[old]
        path = picture_path(owner, photo, seen.width, seen.format, digest)
        if path != old or not tree.keep(path, digest):
            tree.put(path, (tree.target / old).read_bytes())
        yield Rendered(path, seen.width, seen.height, seen.format)
