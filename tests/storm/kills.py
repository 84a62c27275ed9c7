"""Killed at any operation on files, the parent alone or its whole session, or amid a write."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from runs import Accident
from trials import Trial
from whole import LIST

SIZES = (1, 500, 40, 2_000, 300)  # bytes at which a file is left half-written


def kills(trial: Trial) -> Iterator[Accident]:
    """Every one there can be for a command; the parent alone and all of it by turns, and in the
    middle of each file that is written."""
    for at, done in enumerate(trial.operations, 1):
        yield Accident("parent" if at % 2 else "group", at)
        if done.startswith("open "):
            size = 500 if done.endswith(LIST) else SIZES[at % len(SIZES)]
            yield Accident("cut", at, size=size)


def some(accidents: Iterator[Accident], most: int) -> Sequence[Accident]:
    """So many of them, spread evenly."""
    every = list(accidents)
    most = min(most, len(every))
    return [every[(2 * turn + 1) * len(every) // (2 * most)] for turn in range(most)]
