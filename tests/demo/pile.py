"""Knotted pile: cut tufts leaning one way, each a small dome of fibre ends.

In: the cloth and its pixel field, where `ends` and `picks` count knots. Out: a `Swatch`.
"""

import noise
import numpy as np
from weave import Array, Cloth, Field, Swatch
from yarns import Palette

LEAN = 0.9  # knots; the pile lies towards the end that was woven first


def tufts(cloth: Cloth, at: Field, mix: Palette, pixels: float) -> Swatch:
    """The pile seen from above: at each pixel the tuft that stands highest."""
    column, row = np.floor(at.end).astype(np.int32), np.floor(at.pick).astype(np.int32)
    best = np.full(at.x.shape, -9.0, np.float32)
    knot_i, knot_j = column.copy(), row.copy()
    for dj in (-3, -2, -1, 0, 1):
        for di in (-1, 0, 1):
            i, j = column + di, row + dj
            height = dome(at, i, j, cloth.seed)
            wins = height > best
            best = np.where(wins, height, best)
            knot_i, knot_j = np.where(wins, i, knot_i), np.where(wins, j, knot_j)
    return coloured(cloth, at, (knot_i, knot_j, best), mix, pixels)


def dome(at: Field, i: Array, j: Array, seed: int) -> Array:
    """Height of one tuft at every pixel, in knots."""
    jitter_x = noise.hashed(i, j, seed) - 0.5
    jitter_y = noise.hashed(i, j, seed + 1) - 0.5
    lift = noise.hashed(i, j, seed + 2)
    lean = 0.9 * (noise.hashed(i, j, seed + 3) - 0.5)
    dx = at.end - (i + 0.5 + 0.5 * jitter_x)
    dy = at.pick - (j + 0.5 + LEAN + 0.5 * jitter_y)
    dx, dy = dx - lean * dy, dy + lean * dx
    tip = np.clip(dy, 0, None)
    return 0.75 * lift + 0.16 * dy - 1.5 * dx * dx - 0.34 * dy * dy - 0.25 * tip**3


def coloured(
    cloth: Cloth, at: Field, top: tuple[Array, Array, Array], mix: Palette, pixels: float
) -> Swatch:
    """Colour and relief of the tufts: fibre ends as fine specks, darker towards the root."""
    i, j, best = top
    lot = cloth.weft(i, j).astype(np.int32)
    own = noise.hashed(i, j, cloth.seed + 4)
    lean = 0.9 * (noise.hashed(i, j, cloth.seed + 3) - 0.5)
    flow = at.x - lean * at.y + 0.05 * noise.sample(noise.tile(6, 6, 33), at.x * 20, at.y * 20)
    speck = noise.sample(noise.tile(1.6, 2.6, 31), flow * 95, at.y * 95)
    strand = noise.sample(noise.tile(1.4, 22, 32), flow * 70 + 300 * own, at.y * 60)
    share = np.clip(mix.heather[lot] * (own + 0.22 * speck + 0.2 * strand), 0, 1)[..., None]
    colour = mix.colour[lot] * (1 - share) + mix.fleck[lot] * share
    drift = noise.wander(int(cloth.height * cloth.picks) + 64, 2.2 * cloth.picks, cloth.seed + 5)
    tone = 1 + mix.abrash[lot] * drift[np.clip(j + 16, 0, len(drift) - 1)] + 0.15 * strand
    deep = np.clip(0.80 + 0.45 * best, 0.4, 1.05)
    colour = np.clip(colour * (tone * deep)[..., None], 0.004, 0.95)
    size = cloth.pile / 1.2
    height = size * (best + 0.13 * strand + 0.03 * speck)
    wide, high = int(cloth.width * cloth.ends), int(cloth.height * cloth.picks)
    cover = (i >= 0) & (i < wide) & (j >= 0) & (j < high)
    seen = lot.astype(np.int8)
    height = height.astype(np.float32)
    return Swatch(colour, height, cover, mix.lustre[lot], best * 0.0, seen, pixels)
