"""The files of a paper with many pictures: pictures wait on disk, everything else in memory.

In: names and bytes, a folder for scratch. Out: a mapping that `render.lay_out` asks by name; sixty
plates for print are a hundred megabytes. Finished papers of that size wait there too (`Waiting`).
"""

import shutil
import tempfile
import weakref
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path


class Scratch:
    """A folder of files on their way; it goes when nobody holds it any more, or the run ends."""

    def __init__(self) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="scratch-"))
        weakref.finalize(self, shutil.rmtree, self.folder, ignore_errors=True)


@dataclass(frozen=True, slots=True)
class Waiting:
    """A finished file that lies in a scratch folder until it is put in its place."""

    path: Path
    scratch: Scratch


class Files(Mapping[str, bytes]):
    """Assets by name; those laid aside are read anew each time they are asked for."""

    def __init__(self, scratch: Path) -> None:
        self.scratch = scratch
        self._held: dict[str, bytes] = {}
        self._aside: dict[str, Path] = {}

    def __setitem__(self, name: str, content: bytes) -> None:
        self._held[name] = content

    def place_for(self, name: str) -> Path:
        """Where a picture is to be put, to wait on disk."""
        return self._aside.setdefault(name, self.scratch / f"{len(self._aside)}.asset")

    @property
    def laid_aside(self) -> int:
        """How many pictures wait on disk."""
        return len(self._aside)

    def __getitem__(self, name: str) -> bytes:
        aside = self._aside.get(name)
        return aside.read_bytes() if aside else self._held[name]

    def __iter__(self) -> Iterator[str]:
        yield from (*self._held, *self._aside)

    def __len__(self) -> int:
        return len(self._held) + len(self._aside)
