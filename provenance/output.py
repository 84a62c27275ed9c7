"""The only writer: files and whole trees, each seen whole or not at all.

In: paths and bytes. Out: files on disk. A file is written beside its place, settled on the disk
and moved over the old one. A tree is built beside its target and changes places with it in one
step where the system can (Linux, macOS), else in two that the next run completes; a run that is
killed, or runs out of disk, leaves the old tree whole. What the program wrote is listed inside the
tree, name and digest; a file that is not on the list, or was changed by hand, is the maker's: it
is named, never overwritten and never deleted. A README.md at the top is left in peace,
and so is what is written into a tree after it took its place.
"""

from __future__ import annotations

import ctypes
import errno
import hashlib
import os
import shutil
import sys
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from provenance.press.file_names import parts_of
from provenance.problems import Said, Slip

LIST_NAME = ".provenance-files"
LEFT_IN_PEACE = ("README.md", ".printed")  # the maker's; what `build.witnesses` adds
_OF_THE_SYSTEM = (".DS_Store", "Thumbs.db", "desktop.ini")  # dropped by file browsers, nobody's
_SHOWN = 5
_FEW = 64
_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)


def write_file(path: Path, content: bytes) -> None:
    """Write one file whole; an equal file is left as it is, with its date."""
    parts_of(path.name)
    with disk_told(path):
        if path.is_file() and not path.is_symlink() and path.read_bytes() == content:
            return
        write_beside(path, content)


def append_text(path: Path, text: str) -> None:
    """Add text at the end of a file, on a line of its own; seen with all of it or without."""
    parts_of(path.name)
    with disk_told(path):
        before = path.read_bytes() if path.is_file() else b""
        gap = b"\n" if before and not before.endswith(b"\n") else b""
        write_beside(path, before + gap + text.encode())


@contextmanager
def new_tree(target: Path, *, swaps: bool = True) -> Iterator[Tree]:
    """A tree to put files into, that takes the place of `target` if all goes well (and `swaps`).

    Slip when `target` holds files that are not the program's. Hold a lock meanwhile.
    """
    tree = Tree(Path(os.path.realpath(target)))
    with disk_told(tree.target):
        tree.begin()
    try:
        yield tree
        if swaps:
            with disk_told(tree.target):
                tree.finish()
    finally:
        _clear_new(tree.beside("new"))


class Tree:
    """A tree in the making; use it by `new_tree`. `before` has the digests of the old tree."""

    def __init__(self, target: Path) -> None:
        parts_of(target.name)
        self.target = target
        self.before: dict[str, str] = {}
        self._digests: dict[str, str] = {}
        self._folded: dict[str, str] = {}
        self._written: list[Path] = []

    def put(self, name: str, content: bytes) -> None:
        """Add a file; one equal to the old tree's is not written again."""
        digest = hashlib.sha256(content).hexdigest()
        if not self.keep(name, digest):
            path = self._place(name)
            with disk_told(self.target / name):
                path.write_bytes(content)
            self._written.append(path)
            self._digests[name] = digest

    def keep(self, name: str, digest: str) -> bool:
        """Carry a file over from the old tree if it is there with this SHA-256 (hexadecimal)."""
        if self.before.get(name) != digest:
            return False
        path = self._place(name)
        with disk_told(self.target / name):
            _link(self.target / name, path)
        self._digests[name] = digest
        return True

    def changes(self) -> Iterator[tuple[str, str]]:
        """Every file that differs from the old tree, by name: new, changed or gone."""
        for name in sorted({*self.before, *self._digests}):
            if name not in self._digests:
                yield name, "gone"
            elif self.before.get(name) != self._digests[name]:
                yield name, "changed" if name in self.before else "new"

    def beside(self, word: str) -> Path:
        """Where the tree is made ('new') and where the old one goes on its way out ('old')."""
        return self.target.with_name(f".{self.target.name}.{word}")

    def begin(self) -> None:
        """Complete or clear away what a killed run left, look at the target, and make room."""
        new, old = self.beside("new"), self.beside("old")
        if old.exists() and not self.target.exists():
            old.rename(self.target)
        _clear_new(new)
        _clear(old)
        known = read_list(self.target)
        _refuse(self.target, sorted(_foreign(self.target, known)))
        self.before = {name: digest for name, digest in known.items() if self._has(name)}
        new.mkdir(parents=True)

    def finish(self) -> None:
        """List the files, settle them on the disk, and change places with the old tree."""
        new, old = self.beside("new"), self.beside("old")
        for name in LEFT_IN_PEACE:
            if self._has(name):
                _link(self.target / name, new / name)
        listed = "".join(f"{self._digests[name]}  {name}\n" for name in sorted(self._digests))
        (new / LIST_NAME).write_bytes(listed.encode())
        _settle([*self._written, new / LIST_NAME])
        if not self.target.exists():
            new.rename(self.target)
        elif _exchanged(new, self.target):
            new.rename(old)
        else:
            self.target.rename(old)
            new.rename(self.target)
        _settle([self.target.parent])
        _clear(old)

    def _has(self, name: str) -> bool:
        return (self.target / name).is_file()

    def _place(self, name: str) -> Path:
        folded = unicodedata.normalize("NFC", name).casefold()
        if name in (LIST_NAME, *LEFT_IN_PEACE):
            raise Slip(Said("write.kept", name=name), Said("write.another_name"))
        if folded in self._folded:
            raise Slip(Said("write.twins", one=self._folded[folded], other=name))
        self._folded[folded] = name
        path = self.beside("new").joinpath(*parts_of(name))
        with disk_told(path):
            path.parent.mkdir(parents=True, exist_ok=True)
        return path


def read_list(tree: Path) -> dict[str, str]:
    """Names and SHA-256 digests of the files that the program wrote into a tree."""
    listing = tree / LIST_NAME
    if not listing.is_file():
        return {}
    lines = (line.split("  ", 1) for line in listing.read_text(encoding="utf-8").splitlines())
    return {line[1]: line[0] for line in lines if len(line) == 2}


def _refuse(target: Path, foreign: list[str]) -> None:
    if foreign:
        shown, more = ", ".join(foreign[:_SHOWN]), len(foreign) - _SHOWN
        key = "write.foreign_more" if more > 0 else "write.foreign"
        what = Said(key, folder=target.name, files=shown, more=str(more))
        raise Slip(what, Said("write.move_or_name"))


def _foreign(tree: Path, known: Mapping[str, str]) -> Iterator[str]:
    """Files that are not on the list, or not as listed; links are foreign too."""
    for folder, folders, names in os.walk(tree):
        links = [name for name in folders if Path(folder, name).is_symlink()]
        for path in (Path(folder, name) for name in (*names, *links)):
            name = path.relative_to(tree).as_posix()
            if name in (LIST_NAME, *LEFT_IN_PEACE) or path.name in _OF_THE_SYSTEM:
                continue
            if path.is_symlink() or name not in known or known[name] != _digest(path):
                yield name


def _digest(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _clear_new(tree: Path) -> None:
    """A tree without its list was never finished and is wholly ours; one with it may be an old one
    whose run was killed while the two changed places."""
    if (tree / LIST_NAME).exists():
        _clear(tree)
    else:
        shutil.rmtree(tree, ignore_errors=True)


def _clear(tree: Path) -> None:
    """Delete an old tree, but only what the program wrote; anything else stays where it is."""
    known = read_list(tree)
    if not known and not tree.is_dir():
        return
    for name in (*known, *LEFT_IN_PEACE, LIST_NAME):
        tree.joinpath(*name.split("/")).unlink(missing_ok=True)
    for folder, _, names in os.walk(tree, topdown=False):
        for name in set(names) & set(_OF_THE_SYSTEM):
            Path(folder, name).unlink(missing_ok=True)
        with suppress(OSError):
            Path(folder).rmdir()
    if tree.is_dir():
        raise Slip(Said("write.came_between", folder=tree.name), Said("write.move_and_remove"))


def _link(source: Path, target: Path) -> None:
    """The same file under a second name, or a copy where the disk has no such thing."""
    try:
        target.hardlink_to(source)
    except OSError:
        shutil.copyfile(source, target)


def _exchanged(one: Path, other: Path) -> bool:
    """Let two names change places in one step (renameat2, renamex_np); False where none can."""
    here, names = -100, (os.fsencode(one), os.fsencode(other))
    with suppress(AttributeError, OSError, TypeError):
        system = ctypes.CDLL(None, use_errno=True)
        if sys.platform == "linux":
            return bool(system.renameat2(here, names[0], here, names[1], 2) == 0)
        if sys.platform == "darwin":
            return bool(system.renamex_np(*names, 2) == 0)
    return False


def write_beside(path: Path, content: bytes, like: os.stat_result | None = None) -> None:
    """Write a file whole beside its place and move it there, with mode and owner of another."""
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}.new")
    beside.unlink(missing_ok=True)
    try:
        beside.write_bytes(content)
        if like:
            with suppress(AttributeError, OSError):  # no owners there, or not ours to give
                os.chown(beside, like.st_uid, like.st_gid)
            beside.chmod(like.st_mode & 0o7777)
        _settle([beside])
        beside.replace(path)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
    _settle([path.parent])


def _settle(paths: Iterable[Path]) -> None:
    """See that the bytes are on the disk: file by file, or all at once when they are many."""
    paths = list(paths)
    if len(paths) > _FEW and hasattr(os, "sync"):
        os.sync()
        return
    for path in paths:
        if os.name == "nt" and path.is_dir():
            continue
        handle = os.open(path, os.O_RDWR if os.name == "nt" else os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


@contextmanager
def disk_told(path: Path) -> Iterator[None]:
    """What the disk refuses, in words."""
    try:
        yield
    except OSError as error:
        if error.errno in _FULL:
            raise Slip(Said("write.full", file=path.name), Said("write.make_room")) from error
        if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
            raise Slip(Said("write.forbidden", file=str(path)), Said("write.allow")) from error
        why = error.strerror or str(error)
        raise Slip(Said("write.fails", file=str(path), why=why)) from error
