"""A folder on this machine, or on a disk or share that is mounted here.

In: its path. Out: a `Place`. A file is written beside its place and moved there whole.
"""

import errno
import os
import shutil
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

from provenance.output.holding import digest
from provenance.problems import Said
from provenance.publish.coming import coming, folders_of, levels
from provenance.publish.manifest import NAME, Manifest
from provenance.publish.place import Outgoing, Told
from provenance.publish.refused import Refused

_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)


class FolderPlace:
    """A folder that is there; files are put below it and nowhere else."""

    def __init__(self, folder: Path) -> None:
        self.root = Path(os.path.realpath(folder))
        if not self.root.is_dir():
            what = Said("publishing.no_folder", folder=str(folder))
            raise Refused(what, Said("publishing.make_folder"))

    def manifest(self) -> Manifest:
        try:
            with _told(NAME):
                return Manifest.of_bytes((self.root / NAME).read_bytes())
        except FileNotFoundError:
            return Manifest()

    def foreign(self, files: Sequence[Outgoing]) -> tuple[str, ...]:
        return tuple(file.name for file in files if self._differs(file))

    def put(self, files: Sequence[Outgoing], told: Told) -> None:
        for level in levels(folders_of(file.name for file in files)):
            for folder in level:
                with _told(folder):
                    (self.root / folder).mkdir(exist_ok=True)
        for file in files:
            with _told(file.name), file.path.open("rb") as source:
                beside = self._inside(coming(file.name))
                with _anew(beside) as target:
                    shutil.copyfileobj(source, target)
                beside.replace(self.root / file.name)
            told(1)

    def put_manifest(self, data: bytes) -> None:
        with _told(NAME):
            beside = self.root / coming(NAME)
            with _anew(beside) as target:
                target.write(data)
            beside.replace(self.root / NAME)

    def remove(self, names: Sequence[str]) -> None:
        for name in names:
            for each in (name, coming(name)):
                with _told(name), suppress(FileNotFoundError):
                    self._inside(each).unlink()
        for level in reversed(levels(folders_of(names))):
            for folder in level:
                with suppress(OSError):  # it holds something else
                    (self.root / folder).rmdir()

    def get(self, names: Sequence[str], into: Path) -> None:
        """Bring files here, each as `into/NAME`; one that is not there is left out."""
        for name in names:
            with _told(name), suppress(FileNotFoundError, IsADirectoryError):
                shutil.copyfile(self._inside(name), into / name)

    def _differs(self, file: Outgoing) -> bool:
        path = self.root / file.name
        if not os.path.lexists(path):
            return False
        return path.is_symlink() or not path.is_file() or digest(path) != file.held.digest

    def _inside(self, name: str) -> Path:
        """A path below the folder; Refused where a link on the way leads out of it."""
        path = self.root / name
        if not Path(os.path.realpath(path.parent)).is_relative_to(self.root):
            what = Said("publishing.leads_out", name=name)
            raise Refused(what, Said("publishing.take_link_away"))
        return path


def _anew(beside: Path) -> BinaryIO:
    """A file that was not there: what lies there goes, and a link is not written through (POSIX,
    open: with O_EXCL a link is not followed)."""
    beside.unlink(missing_ok=True)
    return beside.open("xb")


@contextmanager
def _told(name: str) -> Iterator[None]:
    """What the disk refuses, in words."""
    try:
        yield
    except FileNotFoundError:
        raise
    except OSError as error:
        file, why = Said("publishing.file", name=name), error.strerror or ""
        if error.errno in _FULL:
            what = Said("publishing.full", file=file)
            raise Refused(what, Said("publishing.make_room")) from None
        if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
            what = Said("publishing.may_not_here", name=name)
            raise Refused(what, Said("publishing.allow_there")) from None
        what = Said("publishing.fails", file=file, why=why)
        raise Refused(what, Said("publishing.again")) from None
