"""A place that gives back what was put there.

In: names. Out: their files, in a folder here. What is gone is lacking, and said by whoever asks.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import Protocol, TypeVar

from provenance.publish.place import Place

Item = TypeVar("Item")
_BATCH_BYTES, _BATCH_FILES = 32_000_000, 200


class Gives(Place, Protocol):
    """A place that can be read as well."""

    def get(self, names: Sequence[str], into: Path) -> None:
        """Bring files here, each as `into/NAME`; one that is not there is left out."""


def fetched(place: Gives, names: Sequence[str], into: Path) -> dict[str, Path]:
    """Files by name, of those that are there."""
    for name in names:
        (into / name).parent.mkdir(parents=True, exist_ok=True)
    place.get(names, into)
    return {name: into / name for name in names if (into / name).is_file()}


def in_batches(items: Iterable[Item], size: Callable[[Item], int]) -> Iterator[list[Item]]:
    """Some at a time, so that a disk needs room for few; `size` in bytes."""
    batch: list[Item] = []
    weight = 0
    for each in items:
        batch.append(each)
        weight += size(each)
        if weight >= _BATCH_BYTES or len(batch) >= _BATCH_FILES:
            yield batch
            batch, weight = [], 0
    if batch:
        yield batch
