"""The files of a paper with many pictures: pictures wait on disk, everything else in memory.

In: names and bytes, a folder for scratch. Out: a mapping that `render.lay_out` asks by name; sixty
plates for print are a hundred megabytes.
"""

from collections.abc import Iterator, Mapping
from pathlib import Path

from provenance.press.codes.qr import Code


class Files(Mapping[str, bytes | Code]):
    """Assets by name; those laid aside are read anew each time they are asked for."""

    def __init__(self, scratch: Path) -> None:
        self.scratch = scratch
        self._held: dict[str, bytes | Code] = {}
        self._aside: dict[str, Path] = {}

    def __setitem__(self, name: str, content: bytes | Code) -> None:
        self._held[name] = content

    def lay_aside(self, name: str, content: bytes) -> None:
        """A picture, which waits on disk."""
        self._aside[name] = self.scratch / f"{len(self._aside)}.asset"
        self._aside[name].write_bytes(content)

    def __getitem__(self, name: str) -> bytes | Code:
        aside = self._aside.get(name)
        return aside.read_bytes() if aside else self._held[name]

    def __iter__(self) -> Iterator[str]:
        yield from (*self._held, *self._aside)

    def __len__(self) -> int:
        return len(self._held) + len(self._aside)
