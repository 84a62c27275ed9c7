"""A former site put back in its place, whole, as the public saw it before.

In: the studio, the folder of the site, how many changes back. Out: what the public then sees
differently, lines that tell it. Never a site that has no page for an address that was printed and
has one now.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

from provenance.build.made_of import note_made_of
from provenance.build.memo import Memo
from provenance.build.seen import FACTS, Built, changes_in, seen_lines
from provenance.output import Tree, former_tree
from provenance.problems import Said, Slip, Words
from provenance.studio import Studio


def put_back(studio: Studio, folder: Path, steps: int, *, only_tell: bool) -> Built:
    """Put a former site back; hold a lock meanwhile. Slip when there is none to put back."""
    with former_tree(folder, steps, swaps=not only_tell) as tree:
        _check_permanence(studio, tree)
        facts = {name: tree.read(name) for name in tree.names if name.endswith(f"/{FACTS}")}
        changes = tuple(changes_in(tree, facts))
        day = tree.made_on
    if not only_tell:
        with Memo(studio.book.folder) as memo:
            note_made_of(studio, memo, folder)  # meant by the maker, whatever the records say now
    pages = sum(name.endswith(".html") for name in tree.names)
    built = Built(tree.target, pages, len(facts), changes, tuple(tree.remains))
    lines = (*seen_lines(changes, only_tell=only_tell), "", *_last(built, day, only_tell=only_tell))
    return replace(built, lines=lines)


def _last(built: Built, day: date, *, only_tell: bool) -> Iterator[Words]:
    if only_tell:
        yield Said("build.not_changed")
    else:
        yield Said("build.back", day=day, index=str(built.folder / "index.html"))
        yield Said("build.back_again")


def _check_permanence(studio: Studio, tree: Tree) -> None:
    """Every printed address that has its page now keeps it; the list of them has to be whole."""
    for each in studio.mistakes:
        if each.place.file.endswith("/studio/printed.yaml"):
            raise Slip(each.what, each.remedy, each.place)
    printed = {str(line.number) for line in studio.book.printed if line.address}
    pages = {number: f"{number}/index.html" for number in sorted(printed)}
    lost = [n for n, page in pages.items() if page in tree.before and page not in tree.names]
    if lost:
        what = Said("build.back_lost", day=tree.made_on, numbers=", ".join(lost))
        raise Slip(what, Said("build.back_mend"))
