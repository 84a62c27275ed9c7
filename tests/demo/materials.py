"""Limewash, oak, slate, clay and linen: the quiet things round a piece, as textures.

In: a size in cm, pixels per cm, a seed. Out: `Texture` in linear light.
"""

import noise
import numpy as np
from scipy.ndimage import gaussian_filter
from surfaces import Texture
from yarns import linear

Array = np.ndarray


grain_kept = 1.0  # less where nobody looks at these things: for the truth of a picture


def canvas(width: float, height: float, pixels: float) -> tuple[Array, Array]:
    """Pixel positions in cm."""
    pixels = pixels * grain_kept
    x = (np.arange(max(int(width * pixels), 2)) + 0.5) / pixels
    y = (np.arange(max(int(height * pixels), 2)) + 0.5) / pixels
    gx, gy = np.meshgrid(x.astype(np.float32), y.astype(np.float32))
    return gx, gy


def cloud(x: Array, y: Array, size: float, seed: int) -> Array:
    """Soft noise whose patches are about `size` cm."""
    scale = 24 / size
    return noise.sample(noise.tile(12, 12, seed), x * scale + 71 * seed, y * scale)


def limewash(width: float, height: float, tint: str = "#e9e5dc", seed: int = 1) -> Texture:
    """A hand-brushed wall: clouds of thicker and thinner wash, and the faint relief of plaster."""
    pixels = 3.0
    x, y = canvas(width, height, pixels)
    wash = 0.016 * cloud(x, y, 46, seed) + 0.012 * cloud(x, y, 14, seed + 1)
    brush = noise.sample(noise.tile(9, 1.2, seed + 2), (x + 0.6 * y) * 3.0, (y - 0.6 * x) * 3.0)
    cross = noise.sample(noise.tile(1.2, 9, seed + 3), x * 2.6 + 0.4 * y, y * 2.6)
    tone = 1 + wash + 0.006 * brush + 0.005 * cross
    bump = cloud(x, y, 5, seed + 4) * 0.10 + 0.05 * cloud(x, y, 1.6, seed + 5) + 0.02 * brush
    gy, gx = np.gradient(bump * pixels)
    tone = tone + np.clip(0.055 * gx + 0.05 * gy, -0.05, 0.05)
    return Texture((linear(tint) * tone[..., None]).astype(np.float32))


def grain(along: Array, across: Array, board: Array, seed: int) -> Array:
    """Oak figure at points (cm along and across the grain) of numbered boards, mean near zero."""
    shift = noise.hashed(board, seed) * 900
    bend = 1.6 * noise.sample(noise.tile(10, 10, 61), along * 0.55 + shift, across * 1.5 + shift)
    heart = (noise.hashed(board, seed + 1) - 0.5) * 14
    arch = np.sqrt((across - heart) ** 2 * 2.2 + 9) + 0.018 * along + bend
    rings = np.abs((arch * 0.85) % 1.0 - 0.5) * 2
    early = rings**2.2
    fine = noise.sample(noise.tile(26, 0.8, 62), along * 9 + shift, across * 26 + shift)
    pore = noise.sample(noise.tile(9, 0.6, 63), along * 12 + shift, across * 34 + 3 * shift)
    patch = noise.sample(noise.tile(14, 8, 64), along * 2 + shift, across * 3 + shift)
    return 0.15 * (early - 0.4) + 0.05 * fine - 0.11 * np.clip(pore - 1.1, 0, 2) + 0.05 * patch


def wood_colour(tone: Array, base: str) -> Array:
    """Darker grain is also redder."""
    rgb = linear(base)
    warm = np.array([0.85, 1.0, 1.2], np.float32)
    return (rgb * np.clip(1 + tone[..., None] * warm, 0.2, 1.6)).astype(np.float32)


def oak(
    width: float, height: float, base: str = "#b9976c", seed: int = 1, along: str = "x"
) -> Texture:
    """One piece of oiled oak, its grain along x (columns) or y (rows)."""
    pixels = float(np.clip(900 / max(width, height), 6, 40))
    x, y = canvas(width, height, pixels)
    a, b = (x, y) if along == "x" else (y, x)
    middle = (height if along == "x" else width) / 2
    tone = grain(a + 300 * seed, b - middle, np.full_like(a, seed).astype(np.int32), seed)
    return Texture(wood_colour(tone, base))


def boards(
    width: float, height: float, base: str = "#ab9273", seed: int = 1, pixels: float = 7.0
) -> Texture:
    """A floor of oak boards running along x, 13 cm wide, with butt joints and dark gaps."""
    wide, long = 13.0, 180.0
    x, y = canvas(width, height, pixels)
    row = np.floor(y / wide).astype(np.int32)
    start = noise.hashed(row, seed) * long
    piece = np.floor((x + start) / long).astype(np.int32)
    board = row * 31 + piece
    tone = grain(x, y - (row + 0.5) * wide, board, seed)
    tone = tone + 0.16 * (noise.hashed(board, seed + 7) - 0.5)
    edge = np.minimum(y % wide, wide - y % wide)
    end = np.minimum((x + start) % long, long - (x + start) % long)
    gap = np.minimum(edge, end)
    shade = 1 - 0.72 * np.exp(-((gap / 0.11) ** 2)) - 0.06 * np.exp(-gap / 0.5)
    return Texture(wood_colour(tone, base) * shade[..., None])


def slate(width: float, height: float, base: str = "#6d6f70", seed: int = 1) -> Texture:
    """Riven stone."""
    x, y = canvas(width, height, 10.0)
    tone = (
        0.07 * cloud(x, y, 18, seed) + 0.05 * cloud(x, y, 4, seed + 1) + 0.03 * cloud(x, y, 1, seed)
    )
    return Texture((linear(base) * (1 + tone)[..., None]).astype(np.float32))


def clay(base: str, seed: int = 1) -> Texture:
    """Unglazed stoneware with iron specks and throwing lines; rows run down the pot."""
    x, y = canvas(60, 30, 10.0)
    tone = 0.035 * cloud(x, y, 12, seed) + 0.03 * noise.sample(
        noise.tile(40, 1.5, 71), x * 3, y * 14
    )
    speck = noise.sample(noise.tile(0.8, 0.8, 72), x * 9, y * 9)
    tone = tone - 0.35 * (speck > 2.7)
    return Texture((linear(base) * (1 + tone)[..., None]).astype(np.float32))


def linen(width: float, height: float, base: str = "#ddd6c8", seed: int = 1) -> Texture:
    """Plain washed linen seen from a few steps away."""
    x, y = canvas(width, height, 8.0)
    slubs = noise.sample(noise.tile(10, 0.7, 81), x * 8, y * 8) + noise.sample(
        noise.tile(0.7, 10, 82), x * 8, y * 8
    )
    crease = gaussian_filter(cloud(x, y, 9, seed), 1)
    tone = 0.025 * slubs + 0.03 * crease
    return Texture((linear(base) * (1 + tone)[..., None]).astype(np.float32))


def flags(width: float, depth: float, base: str = "#7d7a73", seed: int = 1) -> Texture:
    """A floor of stone flags laid in courses of uneven depth."""
    x, y = canvas(width, depth, 6.0)
    rng = np.random.default_rng(seed)
    rows = np.cumsum(rng.uniform(42, 66, int(depth / 40) + 2)) - 20
    y = y + 0.25 * cloud(x, y, 10, seed)
    course = np.searchsorted(rows, y).astype(np.int32)
    start = np.concatenate([[-30.0], rows])[course]
    gap_y = np.minimum(y - start, rows[np.clip(course, 0, len(rows) - 1)] - y)
    wide = 48 + 34 * noise.hashed(course, seed + 1)
    shift = 90 * noise.hashed(course, seed + 2)
    stone = np.floor((x + shift) / wide).astype(np.int32)
    within = (x + shift) % wide
    gap = np.minimum(np.minimum(within, wide - within), gap_y)
    tone = 0.20 * (noise.hashed(course, stone, seed + 3) - 0.5)
    tone = tone + 0.05 * cloud(x, y, 22, seed + 4) + 0.045 * cloud(x, y, 4, seed + 5)
    tone = tone + 0.03 * cloud(x, y, 1.1, seed + 6)
    joint = 1 - 0.45 * np.exp(-((gap / 0.55) ** 2)) - 0.05 * np.exp(-gap / 2.0)
    hue = 0.04 * (noise.hashed(course, stone, seed + 7) - 0.5)[..., None] * np.array([1, 0, -1.4])
    return Texture(
        (linear(base) * (1 + tone[..., None] + hue) * joint[..., None]).astype(np.float32)
    )


def sky(width: float, height: float, top: str = "#e9eff3", low: str = "#f4f1e8") -> Texture:
    """What a window shows: a bright sky over a far fell, out of focus."""
    x, y = canvas(width, height, 4.0)
    ridge = height * 0.74 - 5.0 * np.sin(x / 26 + 0.6) - 2.0 * np.sin(x / 9 + 1)
    mix = np.clip(y / height, 0, 1)[..., None]
    colour = linear(top) * (1 - mix) + linear(low) * mix
    land = linear("#9fa78f") * (1 - 0.35 * np.clip((y - ridge) / 20, 0, 1))[..., None]
    edge = np.clip((y - ridge) / 1.2 + 0.5, 0, 1)[..., None]
    return Texture(gaussian_filter(colour * (1 - edge) + land * edge, (2, 2, 0)).astype(np.float32))
