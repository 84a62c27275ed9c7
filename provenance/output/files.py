"""One file: written beside its place, settled on the disk and moved over the old one.

In: a path, bytes or where they lie. Out: the file, seen whole or not at all, and what the disk
refuses in words. In a folder that this run has its turn in (`lock`), a link is followed as long as
it stays inside; one that leads out may have come with the folder from anywhere, and is refused.
Elsewhere a link is replaced, never followed.
"""

from __future__ import annotations

import errno
import os
import shutil
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from provenance.lock import folder_worked_in
from provenance.press.file_names import parts_of
from provenance.problems import Said, Slip

_FEW = 64
_PART = 1 << 20
_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
_HELD_FAST = (errno.EBUSY, errno.EXDEV)


def write_file(path: Path, content: bytes | Path) -> None:
    """Write one file whole, from bytes or from another file; an equal one is left as it is, with
    its date."""
    parts_of(path.name)
    with disk_told(path):
        place = true_place(path)
        if place.is_file() and not place.is_symlink() and holds(place, content):
            return
        write_beside(place, content)


def holds(path: Path, content: bytes | Path) -> bool:
    """Whether a file says just that; two files are compared part by part."""
    if isinstance(content, bytes):
        return path.read_bytes() == content
    if path.stat().st_size != content.stat().st_size:
        return False
    with path.open("rb") as one, content.open("rb") as other:
        while part := one.read(_PART):
            if part != other.read(_PART):
                return False
    return True


def append_text(path: Path, text: str) -> None:
    """Add text at the end of a file, on a line of its own; seen with all of it or without."""
    parts_of(path.name)
    with disk_told(path):
        place = true_place(path)
        before = place.read_bytes() if place.is_file() else b""
        gap = b"\n" if before and not before.endswith(b"\n") else b""
        write_beside(place, before + gap + text.encode())


def true_place(path: Path) -> Path:
    """Where a file of the folder worked in lies, its links followed; Slip when that is outside.

    Any other path is given back as it is.
    """
    folder = folder_worked_in(path)
    if folder is None:
        return path
    place = Path(os.path.realpath(path))
    if not place.is_relative_to(os.path.realpath(folder)):
        name = _first_link(path, folder)
        what = Said("write.link_out", name=name, folder=folder.name, to=os.path.realpath(path))
        raise Slip(what, Said("write.turn_link", name=name))
    return place


def _first_link(path: Path, folder: Path) -> str:
    """The link on the way that leads out, as seen from the folder."""
    here, home = Path(os.path.normpath(path.absolute())), os.path.realpath(folder)
    way = [each for each in (*reversed(here.parents), here) if each.is_relative_to(folder)]
    out = (each for each in way if not Path(os.path.realpath(each)).is_relative_to(home))
    return next(out, here).relative_to(folder).as_posix()


def write_beside(
    path: Path,
    content: bytes | Path,
    like: os.stat_result | None = None,
    *,
    via: Path | None = None,
) -> None:
    """Write a file whole beside its place, or `via` another, and move it there; with mode and owner
    of another file."""
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = via or coming(path)
    beside.unlink(missing_ok=True)
    try:
        write_new(beside, content)
        if like:
            with suppress(AttributeError, OSError):  # no owners there, or not ours to give
                os.chown(beside, like.st_uid, like.st_gid)
            beside.chmod(like.st_mode & 0o7777)
        settle([beside])
        beside.replace(path)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
    settle([path.parent])


def coming(path: Path) -> Path:
    """Where a file is written before it takes its place."""
    return path.with_name(f".{path.name}.new")


def write_new(path: Path, content: bytes | Path) -> None:
    """A file where there is none: what lies there already, a link too, is neither followed nor
    emptied (O_EXCL)."""
    with path.open("xb") as file:
        if isinstance(content, bytes):
            file.write(content)
            return
        with content.open("rb") as source:
            shutil.copyfileobj(source, file, _PART)


def settle(paths: Iterable[Path]) -> None:
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
        if error.errno in _HELD_FAST:
            raise held_fast(path) from error
        why = error.strerror or str(error)
        raise Slip(Said("write.fails", file=str(path), why=why)) from error


def held_fast(folder: Path) -> Slip:
    """What can't be renamed: a disk of its own, or something that a program holds open."""
    inside = str(folder / "public")
    return Slip(Said("write.mount", folder=str(folder)), Said("write.inside", inside=inside))
