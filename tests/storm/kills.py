"""Killed at any operation on files, the parent alone or its whole session, or amid a write."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from runs import Accident
from trials import Trial

SIZES = (1, 40, 300, 2_000, 9_000, 30_000)  # bytes at which a file is left half-written


def kills(trial: Trial) -> Iterator[Accident]:
    """Every one there can be for a command; the parent alone and all of it by turns."""
    yield from (Accident("cut", size) for size in SIZES)
    for at in range(1, len(trial.operations) + 1):
        yield Accident("parent" if at % 2 else "group", at)


def some(accidents: Iterator[Accident], most: int) -> Sequence[Accident]:
    """So many of them, spread evenly."""
    every = list(accidents)
    most = min(most, len(every))
    return [every[(2 * turn + 1) * len(every) // (2 * most)] for turn in range(most)]
