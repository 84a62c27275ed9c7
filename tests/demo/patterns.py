"""Ways of drawing with threads that several pieces share.

In: ends and picks as whole numbers. Out: which yarn lies there.
"""

import numpy as np
from lots import yarn
from weave import Plan
from yarns import Yarn

Array = np.ndarray

WREN = [
    "..........x",
    ".........xx",
    "..xx....xx.",
    "xxxxxx.xx..",
    "..xxxxxxx..",
    "..xxxxxxx..",
    "...xxxxx...",
    "....xxx....",
    "....x.x....",
]


def only(number: int) -> Plan:
    """The same yarn everywhere."""
    return lambda end, pick: np.full(np.broadcast(end, pick).shape, number, np.int32)


def stripes(per_cm: float, bands: list[tuple[float, float, int]], ground: int, axis: int) -> Plan:
    """Bands (from cm, to cm, yarn) over a ground, across picks (axis 1) or ends (axis 0)."""

    def plan(end: Array, pick: Array) -> Array:
        at = (end, pick)[axis] / per_cm
        lot = np.full(np.broadcast(end, pick).shape, ground, np.int32)
        for start, stop, number in bands:
            lot = np.where((at >= start) & (at < stop), number, lot)
        return lot

    return plan


def sequence(
    heights: list[tuple[float, int]], start: float = 0.0
) -> list[tuple[float, float, int]]:
    """Bands that follow one another, from their heights."""
    bands = []
    for height, number in heights:
        bands.append((start, start + height, number))
        start += height
    return bands


def lots(*names: str) -> list[Yarn]:
    """Yarns by lot name."""
    return [yarn(name) for name in names]


def mark(
    lot: Array, end: Array, pick: Array, corner: tuple[int, int], number: int, tall: int = 4
) -> Array:
    """The wren, woven with its upper left bead at `corner` (end, pick), `tall` picks to a row."""
    column, row = end - corner[0], (pick - corner[1]) // tall
    rows = np.array([[c == "x" for c in line] for line in WREN])
    inside = (column >= 0) & (column < rows.shape[1]) & (row >= 0) & (row < rows.shape[0])
    bird = rows[np.clip(row, 0, rows.shape[0] - 1), np.clip(column, 0, rows.shape[1] - 1)]
    return np.where(inside & bird, number, lot)
