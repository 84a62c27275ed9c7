"""Light on the relief of cloth: each bead lit from the upper left, each hollow dark.

In: a `Swatch`. Out: linear colour as a camera above the cloth would see it, mean tone kept.
"""

import numpy as np
from scipy.ndimage import gaussian_filter
from weave import Swatch

Array = np.ndarray
KEY = np.array([-0.52, -0.50, 0.69], np.float32)  # towards the window: left, up, out of the cloth


def shifted(height: Array, dx: float, dy: float) -> Array:
    """The height field seen `dx`, `dy` pixels further on."""
    return np.roll(height, (-round(dy), -round(dx)), axis=(0, 1))


def cast_shadow(height: Array, pixels: float, reach: float) -> Array:
    """How much of the window each point sees over its neighbours, 0 to 1."""
    slope = KEY[2] / float(np.hypot(KEY[0], KEY[1]))
    way = KEY[:2] / float(np.hypot(KEY[0], KEY[1]))
    block = np.zeros_like(height)
    for share in (0.12, 0.22, 0.35, 0.5, 0.7, 1.0):
        step = max(share * reach, 1 / pixels)
        ahead = shifted(height, way[0] * step * pixels, way[1] * step * pixels)
        block = np.maximum(block, (ahead - height) / step - 0.55 * slope)
    return 1 / (1 + (block / (0.5 * slope)) ** 2)


def hollow(height: Array, pixels: float, reach: float) -> Array:
    """Sky seen from each point: 1 on crowns, less in hollows, from two widths of blur."""
    narrow = gaussian_filter(height, max(0.25 * reach * pixels, 0.5)) - height
    wide = gaussian_filter(height, max(0.7 * reach * pixels, 0.8)) - height
    depth = np.clip(0.6 * narrow + 0.8 * wide, -0.3 * reach, None)
    return np.exp(-2.6 * np.clip(depth, -0.02, None) / reach)


def lit(swatch: Swatch, reach: float, depth: float = 1.0) -> Array:
    """Linear colour under soft window light; `reach` is about one yarn's thickness in cm."""
    height = swatch.height * depth
    gy, gx = np.gradient(gaussian_filter(height, 0.6), 1 / swatch.pixels)
    limit = 2.2
    gx, gy = np.clip(gx, -limit, limit), np.clip(gy, -limit, limit)
    length = np.sqrt(gx * gx + gy * gy + 1)
    facing = (-gx * KEY[0] - gy * KEY[1] + KEY[2]) / length
    facing = np.clip((facing + 0.28) / 1.28, 0, None)  # wool lets light through at its edges
    direct = facing * cast_shadow(height, swatch.pixels, reach)
    shade = 0.95 * direct + 0.42 * hollow(height, swatch.pixels, reach)
    colour = swatch.colour * shade[..., None]
    shine = gloss(swatch, gx, gy, length, direct)[..., None]
    return (colour + shine * (0.25 + 1.5 * swatch.colour)).astype(np.float32)


def gloss(swatch: Swatch, gx: Array, gy: Array, length: Array, direct: Array) -> Array:
    """Sheen across the fibres: brightest where a yarn lies square to the half-way direction."""
    half = np.array([KEY[0], KEY[1], KEY[2] + 1], np.float32)
    half /= np.linalg.norm(half)
    along_x = (half[0] + gx * half[2]) / np.sqrt(1 + gx * gx)
    along_y = (half[1] + gy * half[2]) / np.sqrt(1 + gy * gy)
    along = np.where(swatch.tilt > 0.5, along_x, along_y)
    edge = np.clip(1 - along * along, 0, 1)
    return (0.12 * swatch.sheen * edge**14 * direct).astype(np.float32)
