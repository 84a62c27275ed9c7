"""Smooth, repeatable irregularity: what separates handwork from a grid.

In: coordinates as arrays and a seed. Out: values around zero, in [-1, 1] or with unit spread.
"""

from functools import lru_cache

import numpy as np
from scipy.ndimage import gaussian_filter, gaussian_filter1d

Array = np.ndarray
TILE = 1024


def hashed(*keys: Array | int) -> Array:
    """A value in [0, 1) for each combination of whole-number keys; the same on every machine."""
    h = np.uint32(2166136261)
    with np.errstate(over="ignore"):
        for key in keys:
            h = (h ^ np.asarray(key).astype(np.int64).astype(np.uint32)) * np.uint32(16777619)
            h = (h ^ (h >> np.uint32(15))) * np.uint32(2246822519)
            h = h ^ (h >> np.uint32(13))
    return (h & np.uint32(0xFFFFFF)).astype(np.float32) / np.float32(0x1000000)


@lru_cache(maxsize=32)
def tile(along: float, across: float, seed: int) -> Array:
    """A wrapping tile of noise with unit spread, blurred `along` columns and `across` rows."""
    rng = np.random.default_rng(seed)
    grain = rng.standard_normal((TILE, TILE)).astype(np.float32)
    soft = gaussian_filter(grain, (across, along), mode="wrap")
    return (soft / soft.std()).astype(np.float32)


def sample(grain: Array, u: Array, v: Array) -> Array:
    """Look a tile up at coordinates in tile pixels, wrapping round, with straight interpolation."""
    u0, v0 = np.floor(u), np.floor(v)
    fu, fv = (u - u0).astype(np.float32), (v - v0).astype(np.float32)
    mask = TILE - 1
    i, j = u0.astype(np.int32) & mask, v0.astype(np.int32) & mask
    i1, j1 = (i + 1) & mask, (j + 1) & mask
    upper = grain[j, i] * (1 - fu) + grain[j, i1] * fu
    lower = grain[j1, i] * (1 - fu) + grain[j1, i1] * fu
    return upper * (1 - fv) + lower * fv


def stretched(grain: Array, u: Array, v: Array, every: int = 8) -> Array:
    """`sample` for coordinates that run evenly over a grid, worked out at every eighth pixel."""
    rows, columns = u.shape
    r = np.minimum(np.arange(0, rows + every, every), rows - 1)
    c = np.minimum(np.arange(0, columns + every, every), columns - 1)
    coarse = sample(grain, u[np.ix_(r, c)], v[np.ix_(r, c)])
    fr = (np.arange(rows) % every / every).astype(np.float32)[:, None]
    fc = (np.arange(columns) % every / every).astype(np.float32)[None, :]
    i, j = np.arange(rows) // every, np.arange(columns) // every
    mixed = coarse[i] * (1 - fr) + coarse[i + 1] * fr
    return mixed[:, j] * (1 - fc) + mixed[:, j + 1] * fc


def pick_out(grain: Array, u: Array, v: Array) -> Array:
    """The nearest tile value: quicker than `sample`, for grain finer than the eye can follow."""
    mask = TILE - 1
    return grain[v.astype(np.int32) & mask, u.astype(np.int32) & mask]


def wander(count: int, smooth: float, seed: int) -> Array:
    """A slow random line of `count` values with unit spread, as dye takes along a skein."""
    rng = np.random.default_rng(seed)
    pad = int(4 * smooth) + 8
    line = gaussian_filter1d(rng.standard_normal(count + 2 * pad), smooth)[pad : pad + count]
    return (line / max(float(line.std()), 1e-6)).astype(np.float32)


def waves(t: Array, seed: int, terms: int = 5, lowest: float = 1.0) -> Array:
    """A sum of a few sines of falling weight: a fold line, a hem, a ridge of hills."""
    rng = np.random.default_rng(seed)
    total = np.zeros_like(np.asarray(t, np.float32))
    for k in range(terms):
        pitch = lowest * (1 + 0.9 * k + 0.4 * rng.random())
        total = total + np.sin(2 * np.pi * (pitch * t + rng.random())) / (1 + 0.8 * k)
    return (total / 1.8).astype(np.float32)
