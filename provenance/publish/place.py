"""A place that takes the files of a site, and one that takes a site whole.

What an engine has to be, and nothing of how it does it. Every method raises
`refused.Refused` for what a maker can mend.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol, runtime_checkable

from provenance.publish.manifest import Held, Manifest

_FEW, _LITTLE = 64, 2_000_000  # files and bytes: worth no note on the way
Told = Callable[[int], None]  # so many files more are there


@dataclass(frozen=True, slots=True)
class Outgoing:
    """A file on its way: its name below the place, where it lies here, what it holds."""

    name: str
    path: Path
    held: Held


@runtime_checkable
class Place(Protocol):
    """One place that takes file after file."""

    def manifest(self) -> Manifest:
        """What the program put there; an empty one where it put nothing yet."""

    def foreign(self, files: Sequence[Outgoing]) -> tuple[str, ...]:
        """Names of those files in whose place other bytes lie; none of them is on the manifest."""

    def put(self, files: Sequence[Outgoing], told: Told) -> None:
        """Put files there, each whole or not at all; returns when all are there."""

    def put_manifest(self, data: bytes) -> None:
        """Put the manifest in the place of the one before."""

    def remove(self, names: Sequence[str]) -> None:
        """Take files away, and folders left empty by it; a file that is gone already is no
        fault."""


@runtime_checkable
class Ahead(Place, Protocol):
    """A place far away, where each answer is waited for: a few files are brought there together
    and then put step by step."""

    def bring(self, files: Sequence[Outgoing], manifest: bytes) -> None:
        """Have files, and the manifest that will be put last, lie beside their places, so that
        `put` and `put_manifest` only move them. The manifest that lies there has their names."""


@runtime_checkable
class Whole(Protocol):
    """A place that changes its whole site at once."""

    def manifest(self) -> Manifest:
        """What the program put there."""

    def foreign(self, files: Sequence[Outgoing]) -> tuple[str, ...]:
        """As that of a `Place`."""

    def send(self, files: Sequence[Outgoing], manifest: bytes) -> None:
        """Have the place hold all these files and the manifest, and nothing else of ours."""


def is_little(files: Sequence[Outgoing]) -> bool:
    """Whether the way there and back takes longer than the files do."""
    return len(files) <= _FEW and sum(file.held.size for file in files) <= _LITTLE
