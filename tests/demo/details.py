"""Close views: a hand's width of cloth, every yarn to be seen, the far edge out of focus.

In: a `Piece` and a window on it. Out: a finished linear picture.
"""

from dataclasses import dataclass, replace

import hairs
import materials
import noise
import numpy as np
import relief
from camera import Camera
from cloths import RELIEF_GAIN, Piece, part, reach, shares_of
from surfaces import Surface, Texture, plane, turned_about
from wholes import FROM_BEHIND, Shot, daylight

Array = np.ndarray
PIXELS = (1500, 1125)


@dataclass(frozen=True, slots=True)
class Window:
    """Where to look: centre (cm from the cloth's upper left), width seen, turn of the cloth."""

    x: float
    y: float
    wide: float
    turn: float = -6.0
    tilt: float = 27.0  # degrees the camera leans from straight above


def swatch_texture(piece: Piece, at: Window, pixels: float) -> tuple[Texture, tuple]:
    """The lit, hairy cloth of a window with margins, and its rectangle on the cloth."""
    cloth = replace(piece.cloth, behind="")
    piece = replace(piece, cloth=cloth)
    half_x, half_y = at.wide * 0.66, at.wide * 0.62
    x = max(at.x - half_x, -0.4), min(at.x + half_x, cloth.width + 0.4)
    low, high = -piece.fringe_length, cloth.height + piece.fringe_length
    y = max(at.y - half_y, low), min(at.y + half_y, high)
    x = round(x[0] * pixels) / pixels, round(x[1] * pixels) / pixels
    swatch = hairs.lowered(part(piece, x, y, pixels))
    if piece.told:
        shares = shares_of(cloth, swatch.lot, 2)
        return Texture(swatch.colour, swatch.cover.astype(np.float32), shares=shares), (*x, *y)
    picture = relief.lit(swatch, reach(cloth)) / RELIEF_GAIN
    picture = hairs.haired(picture, swatch, piece.halo, cloth.seed)
    shares = shares_of(cloth, swatch.lot, 4)
    return Texture(picture, swatch.cover.astype(np.float32), shares=shares), (*x, *y)


def close_up(piece: Piece, at: Window) -> Shot:
    """The window of cloth on an oak table, seen leaning over it."""
    pixels = min(1.25 * PIXELS[0] / at.wide, 230.0) * (0.4 if piece.told else 1.0)
    texture, (x0, x1, y0, y1) = swatch_texture(piece, at, pixels)
    step = at.wide / 260
    points = plane((x0 - at.x, 0, y0 - at.y), (x1 - x0, 0, 0), (0, 0, y1 - y0), step)
    u, v = points[..., 0] / at.wide, points[..., 2] / at.wide
    swell = noise.waves(0.7 * u + 0.3 * v, piece.cloth.seed, 3, 0.5) + noise.waves(
        v - 0.3 * u, 7, 3, 0.5
    )
    points[..., 1] += 0.014 * at.wide * swell + 0.05 * at.wide
    points = turned_about(points, "y", at.turn, (0, 0, 0))
    cloth = Surface(points.astype(np.float32), texture, hero=True)
    wide = 4 * at.wide
    ground = plane((-wide / 2, -0.05, -wide / 2), (wide, 0, 0), (0, 0, wide), at.wide / 60)
    table = Surface(ground, materials.oak(wide, wide, "#a98357", 9), casts=False)
    lean = np.radians(at.tilt)
    far = 5.2 * at.wide
    eye = (0.0, float(far * np.cos(lean)), float(far * np.sin(lean)))
    camera = Camera(eye, (0, 0.05 * at.wide, 0), at.wide, PIXELS, blur=18 / at.wide)
    room = daylight(FROM_BEHIND, 0.95, 0.40, window=(-300, 300, -200), reach=460.0)
    room = replace(room, texel=at.wide / 200, lift=at.wide / 400)
    return Shot([table, cloth], room, camera)
