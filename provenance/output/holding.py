"""What a folder holds: what the program wrote there, what is left in peace, what is the maker's.

In: a folder with a list of names and digests. Out: the names found inside, sorted by whose they
are; no link is followed, and a line of the list by itself leads nowhere. What hosts want at the
top of a site (`.git`, `CNAME`, `.htaccess` and their like, strangers in `.well-known/`) stays with
the site that the public sees.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import stat
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from provenance.problems import Said, Slip

LIST_NAME = ".provenance-files"
LIST_COMING = ".provenance-files.new"  # the list until it is whole, and of a tree being taken apart
MAKING = ".provenance-making"  # names of an unfinished tree, each noted before it is there
_LISTS = (LIST_NAME, LIST_COMING, MAKING)
GIT = ".git"
LEFT_IN_PEACE = (
    "README.md", ".printed", "CNAME", ".htaccess", "_redirects", "_headers", ".gitignore",
    ".gitattributes", GIT,
)  # fmt: skip
_FOLDERS_IN_PEACE = (".well-known", ".github")
_OF_THE_SYSTEM = (".DS_Store", "Thumbs.db", "desktop.ini")  # dropped by file browsers, nobody's
_SHOWN = 5
_LEADS_OUT = re.compile(r"(?:\A|/)(?:\.\.)?(?:/|\Z)|\\")
_MAY_LEAD_OUT = re.compile(r"(?:  |/)(?:\.\.)?(?:/|$)|\\", re.MULTILINE)

Trusts = Callable[[str, "os.DirEntry[str]"], bool]


@dataclass(slots=True)
class Holding:
    """Names below a folder, with `/`: the program's, the maker's, those left in peace, nobody's."""

    ours: list[str] = field(default_factory=list)
    makers: list[str] = field(default_factory=list)
    in_peace: list[str] = field(default_factory=list)
    nobodys: list[str] = field(default_factory=list)


def read_list(tree: Path, name: str = LIST_NAME) -> dict[str, str]:
    """Names and SHA-256 digests of the files that the program wrote into a tree."""
    text = _text(tree / name)
    lines = (line.partition("  ") for line in text.split("\n"))
    if _MAY_LEAD_OUT.search(text):  # thousands of lines are looked through at once
        lines = (line for line in lines if _stays_inside(line[2]))
    return {line[2]: line[0] for line in lines if line[2]}


def read_making(tree: Path) -> list[str]:
    """Names that an unfinished tree was to hold; the last may be cut off."""
    return _text(tree / MAKING, errors="replace").split("\n")


def _text(path: Path, errors: str = "strict") -> str:
    if not os.path.lexists(path):
        return ""
    try:
        if not stat.S_ISREG(path.lstat().st_mode):
            raise ValueError
        return path.read_text(encoding="utf-8", errors=errors)
    except (OSError, ValueError):
        told = {"file": path.name, "folder": path.parent.name}
        raise Slip(Said("write.list", **told), Said("write.clear_away", **told)) from None


def _stays_inside(name: str) -> bool:
    """No way upwards, no empty part, nothing that another system takes for a way."""
    return not _LEADS_OUT.search(name)


def files_in(tree: Path) -> Iterator[tuple[str, os.DirEntry[str]]]:
    """Every file and every link below a folder, never through one; not inside a .git at its top."""
    waiting = [""] if tree.is_dir() and not tree.is_symlink() else []
    while waiting:
        below = waiting.pop()
        with os.scandir(f"{tree}/{below}") as entries:
            for entry in entries:
                name = f"{below}{entry.name}"
                if name == GIT or not entry.is_dir(follow_symlinks=False):
                    yield name, entry
                else:
                    waiting.append(f"{name}/")


def look_into(tree: Path, known: Mapping[str, str], trusts: Trusts | None = None) -> Holding:
    """Whose each file is: the program's are on the list, and as listed or trusted to be."""
    found = Holding()
    for name, entry in files_in(tree):
        is_known = name in known
        if entry.name in _OF_THE_SYSTEM:
            found.nobodys.append(name)
        elif name in _LISTS:
            continue
        elif is_known and entry.is_file(follow_symlinks=False) and (
            (trusts and trusts(name, entry)) or known[name] == digest(entry.path)
        ):  # fmt: skip
            found.ours.append(name)
        elif not is_known and not entry.is_symlink() and is_left_in_peace(name):
            found.in_peace.append(name)
        else:
            found.makers.append(name)
    return found


def is_left_in_peace(name: str) -> bool:
    """Whether a file that is not ours belongs to the site's host, or to the maker's own order."""
    return name in LEFT_IN_PEACE or name.split("/")[0] in _FOLDERS_IN_PEACE


def digest(path: str | Path) -> str:
    """The SHA-256 of a file, hexadecimal."""
    with Path(path).open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def refuse(folder: str, makers: list[str]) -> None:
    """Slip that names the first of the maker's files, where there are any."""
    if makers:
        names = sorted(makers)
        shown, more = ", ".join(names[:_SHOWN]), len(names) - _SHOWN
        key = "write.foreign_more" if more > 0 else "write.foreign"
        what = Said(key, folder=folder, files=shown, more=str(more))
        raise Slip(what, Said("write.move_or_name"))


def remove(tree: Path, holding: Holding) -> None:
    """Delete what was found to be the program's, the list last, and folders that are then empty."""
    place = os.fspath(tree)
    for name in (*holding.ours, *holding.nobodys, MAKING, LIST_COMING, LIST_NAME):
        with suppress(FileNotFoundError):
            os.unlink(f"{place}/{name}")  # noqa: PTH108 (thousands of them)
    for folder, _, _ in os.walk(tree, topdown=False):
        with suppress(OSError):
            Path(folder).rmdir()


def carry_over(source: Path, target: Path, names: list[str]) -> None:
    """Files left in peace, under a second name in the tree that is to come."""
    for name in names:
        if name != GIT or not (source / GIT).is_dir():
            (target / name).parent.mkdir(parents=True, exist_ok=True)
            if not os.path.lexists(target / name):
                link(f"{source}/{name}", f"{target}/{name}")


def bring_home(source: Path, target: Path) -> None:
    """What is left in peace goes to the site in its place; a second name for it is dropped."""
    for name in look_into_peace(source):
        here, there = source / name, target / name
        if not os.path.lexists(there):
            there.parent.mkdir(parents=True, exist_ok=True)
            here.rename(there)
        elif here.is_file() and there.is_file() and digest(here) == digest(there):
            here.unlink()
    for folder in _FOLDERS_IN_PEACE:
        for each, _, _ in os.walk(source / folder, topdown=False):
            with suppress(OSError):
                Path(each).rmdir()


def look_into_peace(tree: Path) -> list[str]:
    """What is left in peace in a tree: looked for by name, not among all its files."""
    found = [name for name in LEFT_IN_PEACE if os.path.lexists(tree / name)]
    for folder in _FOLDERS_IN_PEACE:
        found += [f"{folder}/{name}" for name, _ in files_in(tree / folder)]
    known = read_list(tree) if found else {}
    return [name for name in found if name not in known and not (tree / name).is_symlink()]


def link(source: str, target: str) -> None:
    """The same file under a second name, or a copy where the disk has no such thing."""
    try:
        os.link(source, target)
    except OSError:
        shutil.copyfile(source, target, follow_symlinks=False)
