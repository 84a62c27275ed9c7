"""The sites that the public had before: the last three are kept, and can be put back.

In: the folder of a site. Out: the folder `.NAME.kept` beside it, a numbered folder for each former
site, the highest number the one that was public last; equal files are one file on the disk under
several names. Only what the program wrote is ever deleted: a former site that holds anything else
stays, and is told. What a killed run left on the way is completed here.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterable, Sequence
from contextlib import suppress
from pathlib import Path

from provenance.output.exchange import change_places
from provenance.output.files import settle
from provenance.output.holding import (
    LIST_COMING,
    LIST_NAME,
    Holding,
    Trusts,
    bring_home,
    files_in,
    look_into,
    look_into_peace,
    read_list,
    read_making,
    refuse,
    remove,
)
from provenance.problems import Place, Problem, Said, Slip

MOST = 3


def beside(target: Path, word: str) -> Path:
    """Where a tree is made (new), where one goes on its way out (old), where they are kept."""
    return target.with_name(f".{target.name}.{word}")


def generations(target: Path) -> list[Path]:
    """The former sites, the oldest first."""
    kept = beside(target, "kept")
    found = kept.iterdir() if kept.is_dir() and not kept.is_symlink() else ()
    whole = (each for each in found if each.name.isdecimal() and each.name.isascii())
    return sorted((each for each in whole if _is_folder(each)), key=lambda each: int(each.name))


def former(target: Path, steps: int) -> Path:
    """The site that was public so many changes ago. Slip where it is not kept, or not whole."""
    found = generations(target)
    if steps > len(found):
        key = "write.no_former" if not found else "write.no_such_former"
        what = Said(key, folder=target.name, number=len(found))
        raise Slip(what, Said("write.build_anew"))
    tree = found[-steps]
    known = read_list(tree)
    holding = look_into(tree, known)
    strange = sorted({*holding.makers, *holding.in_peace, *(known.keys() - holding.ours)})
    if strange:
        what = Said("write.former_changed", folder=_told(tree), files=", ".join(strange[:MOST]))
        raise Slip(what, Said("write.build_anew"))
    return tree


def complete(target: Path) -> None:
    """Finish or clear away what a killed run left. Slip where something of the maker's lies there.

    After it the site is in its place, and nothing but former sites lies beside it.
    """
    for word in ("new", "old", "kept"):
        if os.path.lexists(beside(target, word)) and not _is_folder(beside(target, word)):
            what = Said("write.no_folder", file=beside(target, word).name)
            raise Slip(what, Said("write.take_away"))
    if beside(target, "old").exists() and not target.exists():
        beside(target, "old").rename(target)
    for tree in generations(target) if target.exists() else ():
        with suppress(Slip):  # a list that can't be read; it is told when its turn to go comes
            bring_home(tree, target)
        if (tree / LIST_COMING).exists():
            _prune(tree, (target,))
    for word in ("old", "new"):
        settle_left(beside(target, word), target)


def settle_left(left: Path, target: Path) -> None:
    """A tree on its way joins those that are kept if it was public, else it goes."""
    if not left.exists():
        return
    if (left / LIST_NAME).exists() and not _is_to_come(left, target):
        bring_home(left, target)
        retire(left, target)
    else:
        _clear(left, target)


def _is_to_come(left: Path, target: Path) -> bool:
    """Whether a whole tree was never public: its list is then newer than that of the site."""
    there = target / LIST_NAME
    if left == beside(target, "old"):
        return False
    return not there.exists() or _finished(left) > _finished(target)


def _finished(tree: Path) -> int:
    return (tree / LIST_NAME).stat().st_mtime_ns


def _clear(tree: Path, target: Path) -> None:
    """Delete a tree that was never a site. Slip, and nothing goes, where it holds the maker's."""
    names = dict.fromkeys(read_making(tree), "")
    holding = look_into(tree, names | read_list(tree), lambda name, _: name in names)
    refuse(tree.name, holding.makers)
    if target.exists():
        bring_home(tree, target)
    refuse(tree.name, look_into_peace(tree))
    remove(tree, holding)


def replace(new: Path, target: Path) -> None:
    """A whole tree takes the target's place; what stood there is a former site."""
    left = change_places(new, target, beside(target, "old"))
    if left.exists():
        if (left / LIST_NAME).exists():
            bring_home(left, target)
            retire(left, target)
        else:  # a folder that held no site yet
            _clear(left, target)
    settle([target.parent])


def retire(tree: Path, target: Path) -> None:
    """A tree that was public joins those that are kept."""
    kept, found = beside(target, "kept"), generations(target)
    kept.mkdir(exist_ok=True)
    last = max((int(each.name) for each in found if each != tree), default=0)
    tree.rename(kept / str(last + 1))


def prune(target: Path) -> list[Problem]:
    """Delete all but the last of the former sites; those with files of the maker's are told."""
    told = []
    found = generations(target)
    for turn, tree in enumerate(found[:-MOST], 1):
        makers = _prune(tree, (found[turn], target))
        if makers:
            said = {"folder": _told(tree), "files": ", ".join(sorted(makers)[:MOST])}
            what = Said("write.came_between", **said)
            told.append(Problem(Place(str(tree)), what, Said("write.move_and_remove")))
    return told


def to_go(target: Path) -> Path | None:
    """The former site that goes when the target becomes one."""
    found = generations(target)
    oldest = found[-MOST] if len(found) >= MOST else None
    return oldest if oldest and (oldest / LIST_NAME).exists() else None


def alike(tree: Path, target: Path) -> dict[str, int]:
    """The folders at the top of a former site whose files are all those of the target, the same on
    the disk under two names; with the number of files in each. None where anything else lies."""
    counts, others = Counter[str](), set()
    known, is_elsewhere = read_list(tree), _is_elsewhere((target,))
    for name, entry in files_in(tree):
        top, below, _ = name.partition("/")
        if name not in known and name != LIST_NAME:
            return {}
        if below:
            counts[top] += 1
            if entry.is_symlink() or not is_elsewhere(name, entry):
                others.add(top)
    return {top: count for top, count in counts.items() if top not in others}


def take_over(tree: Path, new: Path, folders: Iterable[str]) -> None:
    """Move folders of a former site into a tree that is to come. It is no whole site from then on:
    its list steps aside, by which `complete` knows it if the run is killed."""
    (tree / LIST_NAME).replace(tree / LIST_COMING)
    for folder in folders:
        os.rename(f"{tree}/{folder}", f"{new}/{folder}")  # noqa: PTH104 (thousands of them)


def _prune(tree: Path, others: Sequence[Path]) -> list[str]:
    try:
        known = read_list(tree) | read_list(tree, LIST_COMING)
        holding = look_into(tree, known, _is_elsewhere(others))
    except Slip:
        return [LIST_NAME]
    makers = holding.makers + holding.in_peace
    if not makers:
        remove(tree, Holding(holding.ours, nobodys=holding.nobodys))
    return makers


def _is_elsewhere(trees: Sequence[Path]) -> Trusts:
    """Whether a file lives on in another tree under the same name: then it need not be read."""

    def is_elsewhere(name: str, entry: os.DirEntry[str]) -> bool:
        for tree in trees:
            try:
                if os.path.samestat(os.lstat(f"{tree}/{name}"), os.lstat(entry.path)):
                    return True
            except OSError:
                continue
        return False

    return is_elsewhere


def _is_folder(path: Path) -> bool:
    return path.is_dir() and not path.is_symlink()


def _told(tree: Path) -> str:
    return f"{tree.parent.name}/{tree.name}"
