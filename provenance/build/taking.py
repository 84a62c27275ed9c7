"""What the public would lose by a new site: pages and pictures that were there and are gone.

In: a tree in the making. Out: what is lost, in the order of the addresses. A page is lost where
its address is gone, or at the top of the site (a piece, a page of the maker's words) now only
leads on; one in a list leads to that list, and loses nothing. A piece's picture is lost where
fewer are shown than before; another photo in its place is none, and a withdrawn piece keeps its
page alone.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

from provenance.build.seen import FACTS
from provenance.output import Tree
from provenance.press.file_names import without_digest
from provenance.problems import Problem, Said, Words, row

SHOWN = 5
_PICTURE = re.compile(r"pictures/([0-9-]+)-([0-9]+)-[0-9]+\.[a-z]+")
_LEADS_ON = b'http-equiv="refresh"'
Lost = tuple[Words, ...]
Allow = Callable[[Lost, Sequence[Problem]], None]  # asked; with what could not be made


def taken_away(tree: Tree) -> Lost:
    """Each page, and the pictures of each piece, that the public has now and would lose."""
    pages = [name for name in sorted(tree.before) if _is_lost(tree, name)]
    told: list[Words] = [page.removesuffix("index.html") for page in pages]
    return (*told, *_lost_pictures(tree))


def told_of(lost: Lost) -> Said:
    """The first few of what is lost, and how many more."""
    key = "build.takes_more" if len(lost) > SHOWN else "build.takes"
    return Said(key, lost=row(lost[:SHOWN]), more=str(len(lost) - SHOWN))


def _is_lost(tree: Tree, name: str) -> bool:
    if not name.endswith(".html"):
        return False
    if name not in tree.names:
        return True
    if name.count("/") != 1 or not name.endswith("/index.html") or tree.is_carried(name):
        return False
    return _LEADS_ON in tree.read(name) and not _leads_on(tree.target / name)


def _leads_on(path: Path) -> bool:
    return _LEADS_ON in path.read_bytes()


def _lost_pictures(tree: Tree) -> Iterator[Said]:
    before, now = _pictures(tree.before), _pictures(tree.names)
    for number, shown in sorted(before.items()):
        lost = len(shown) - len(now.get(number, ()))
        if lost > 0 and f"{number}/{FACTS}" in tree.names:
            yield Said("build.lose_pictures", number=lost, piece=number)


def _pictures(names: Iterable[str]) -> dict[str, set[str]]:
    """The photos of each piece, by their places, whatever sizes they have."""
    found: dict[str, set[str]] = {}
    for name in names:
        if match := _PICTURE.fullmatch(without_digest(name)):
            found.setdefault(match[1], set()).add(match[2])
    return found
