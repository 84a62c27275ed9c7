"""The halo: single fibres standing out of the yarn, drawn over the cloth.

In: a swatch, how hairy it is. Out: the swatch with hairs laid on colour and height.
"""

from dataclasses import replace

import numpy as np
from weave import Swatch

Array = np.ndarray
BRUSHED = 5.0  # from here on the hairs were raised with a teasel: mostly the palest fibres show


def curls(shape: tuple[int, int], count: int, long: float, seed: int) -> tuple[Array, Array, Array]:
    """Points along `count` curled hairs about `long` pixels: rows, columns, hair number."""
    rng = np.random.default_rng(seed)
    steps = max(int(long * 1.6), 8)
    turn = rng.normal(0, 1.1, (count, 1)) + rng.normal(0, 0.5, (count, 1)) * np.linspace(
        -1, 1, steps
    )
    angle = rng.uniform(0, 2 * np.pi, (count, 1)) + np.cumsum(turn, 1) * 2.0 / steps
    stride = (long / steps) * rng.gamma(3.0, 1 / 3.0, (count, 1))
    x = rng.uniform(0, shape[1], (count, 1)) + np.cumsum(np.cos(angle) * stride, 1)
    y = rng.uniform(0, shape[0], (count, 1)) + np.cumsum(np.sin(angle) * stride, 1)
    number = np.repeat(np.arange(count)[:, None], steps, 1)
    return y.ravel(), x.ravel(), number.ravel()


def ink(shape: tuple[int, int], y: Array, x: Array, weight: Array) -> Array:
    """Drop points onto a grid, each shared among its four pixels."""
    total = np.zeros(shape[0] * shape[1], np.float32)
    y0, x0 = np.floor(y).astype(int), np.floor(x).astype(int)
    for dy in (0, 1):
        for dx in (0, 1):
            share = (1 - np.abs(y - y0 - dy)) * (1 - np.abs(x - x0 - dx)) * weight
            row, column = y0 + dy, x0 + dx
            good = (row >= 0) & (row < shape[0]) & (column >= 0) & (column < shape[1])
            total += np.bincount(
                row[good] * shape[1] + column[good], share[good], shape[0] * shape[1]
            ).astype(np.float32)
    return total.reshape(shape)


def haired(picture: Array, swatch: Swatch, halo: float, seed: int) -> Array:
    """The lit picture with hairs laid over it, each in the colour of the yarn it grows from."""
    px, shape = swatch.pixels, swatch.height.shape
    area = shape[0] * shape[1] / px**2
    out = picture
    for layer, (density, long, strength) in enumerate(((46, 0.45, 0.22), (16, 1.0, 0.28))):
        count = int(area * density * halo)
        if not count:
            continue
        y, x, number = curls(shape, count, long * px, seed + layer)
        steps = len(y) // count
        root = slice(None, None, steps)
        ry = np.clip(y[root].astype(int), 0, shape[0] - 1)
        rx = np.clip(x[root].astype(int), 0, shape[1] - 1)
        grown = swatch.cover[ry, rx] > 0.5
        tone = np.random.default_rng(seed + 9).uniform(0.75, 1.35, count)
        base = swatch.colour[ry, rx] * tone[:, None] * 1.15 + 0.035
        if halo > BRUSHED:
            pale = np.percentile(swatch.colour[swatch.cover > 0.5], 85, axis=0)
            base = 0.3 * base + 0.7 * pale * tone[:, None]
        weight = (grown[number] * 1.0).astype(np.float32)
        cover = np.clip(ink(shape, y, x, weight) * strength, 0, 0.75)
        mass = ink(shape, y, x, weight) + 1e-6
        tint = np.stack([ink(shape, y, x, weight * base[number, k]) for k in range(3)], -1)
        out = out * (1 - cover[..., None]) + tint / mass[..., None] * cover[..., None]
    return out.astype(np.float32)


def lowered(swatch: Swatch) -> Swatch:
    """A swatch whose uncovered ground lies well below, so that edges throw a shadow."""
    return replace(swatch, height=np.where(swatch.cover > 0.5, swatch.height, -0.2))
