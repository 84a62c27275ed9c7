"""The whole of each piece, photographed plainly: on a wall, over a rail, on the floor, on a bench.

In: a `Piece` and its texture. Out: `Shot` (surfaces, room, camera).
"""

from dataclasses import dataclass, replace

import furniture
import hairs
import materials
import noise
import numpy as np
import props
from camera import Camera
from cloths import Piece, woven
from light import Room, room_light, window_light
from scipy.ndimage import gaussian_filter
from surfaces import (
    Drape,
    Surface,
    Texture,
    cushion,
    hung_flat,
    on_floor,
    over_peg,
    over_rail,
    plane,
    turned_about,
)

Array = np.ndarray
FROM_LEFT = (-0.74, 0.44, 0.58)
FROM_BEHIND = (-0.66, 0.62, -0.40)


@dataclass(frozen=True, slots=True)
class Shot:
    """Everything a photograph needs."""

    surfaces: list[Surface]
    room: Room
    camera: Camera


def daylight(way: tuple = FROM_LEFT, key: float = 0.95, fill: float = 0.40, **room: object) -> Room:
    """A side window and the pale room around it."""
    windows = window_light(np.array(way), key)
    return Room(windows + room_light(fill), extra={"window": len(windows)}, **room)


def frame(size: tuple[float, float], share: tuple[float, float], pixels: tuple[int, int]) -> float:
    """Width in cm of a picture in which an object fills at most the given shares."""
    wide, high = size
    return max(wide / share[0], high / share[1] * pixels[0] / pixels[1])


def on_wall(piece: Piece, rod: float = 1.1, low: float = 0.0) -> Shot:
    """A hanging on its oak bar."""
    size = piece.cloth.width, piece.length
    pixels = (1180, 1475)
    width = frame(size, (0.66, 0.75), pixels)
    texture = woven(piece)
    top = 200.0
    points = hung_flat(*size, (0, top + 0.9 * rod, 1.6 + 2.1 * rod), piece.cloth.seed)
    cloth = Surface(points, texture, hero=True)
    reach = size[0] / 2 + 2.2 + rod
    oak = props.bar(-reach, reach, top, 1.6 + rod, rod, piece.cloth.seed)
    pins = props.brackets([-size[0] / 2 - 1.4, size[0] / 2 + 1.4], top - rod - 0.4, 2.0 + rod)
    middle = top - size[1] / 2
    back = props.wall(
        (-width, width), (middle - width * 1.3, middle + width * 1.3), seed=piece.cloth.seed
    )
    camera = Camera((0, middle, 620), (0, middle, 0), width, pixels, shift=(0, low))
    return Shot([back, cloth, *oak, *pins], daylight(texel=0.7, lift=0.35), camera)


def part_of(texture: Texture, rows: tuple[float, float], columns: tuple[float, float]) -> Texture:
    """A rectangle cut out of a texture, in shares of its height and width."""
    h, w = texture.colour.shape[:2]
    cut = slice(int(rows[0] * h), int(rows[1] * h)), slice(int(columns[0] * w), int(columns[1] * w))
    parts = {"cover": texture.cover, "shares": texture.shares}
    kept = {name: part if part is None else part[cut] for name, part in parts.items()}
    return Texture(texture.colour[cut], **kept)


def misted(piece: Piece) -> Texture:
    """The texture of a piece, a brushed one with its halo over it."""
    texture = woven(piece)
    if piece.halo < hairs.BRUSHED:
        return texture
    cover = texture.cover[..., None]
    soft = gaussian_filter(texture.colour * cover, (7, 7, 0)) / np.maximum(
        gaussian_filter(cover, (7, 7, 0)), 0.05
    )
    rng = np.random.default_rng(piece.cloth.seed)
    speck = gaussian_filter(rng.standard_normal(cover.shape[:2]), 1.1)[..., None]
    mixed = 0.55 * texture.colour + 0.45 * soft * (1.06 + 0.30 * speck)
    return replace(texture, colour=mixed.astype(np.float32))


def scarf(piece: Piece, drape: Drape, middle: float = 0.0) -> Shot:
    """A scarf or shawl over a round rail, its near half longer or shorter than the far one."""
    pixels = (1000, 1500)
    hang = piece.length * max(drape.front, 1 - drape.front)
    width = frame((piece.cloth.width, hang + 12), (0.74, 0.86), pixels)
    texture = misted(piece)
    rail = 190.0
    size = piece.cloth.width, piece.length
    points = over_rail(size, (middle, rail, 6.5), drape, piece.cloth.seed)
    cloth = Surface(points, texture, hero=True)
    reach = max(min(0.30 * width, piece.cloth.width * 0.9), piece.cloth.width / 2 + 5)
    oak = props.bar(-reach, reach, rail, 6.5, drape.radius - 0.25, piece.cloth.seed)
    pins = props.brackets([-reach + 4, reach - 4], rail, 6.5)
    centre = rail + 6 - width * pixels[1] / pixels[0] / 2 + 3
    back = props.wall(
        (-width, width), (centre - width * 1.4, centre + width * 1.4), seed=piece.cloth.seed
    )
    camera = Camera((0, centre, 560), (0, centre, 0), width, pixels)
    return Shot([back, cloth, *oak, *pins], daylight(texel=0.6, lift=0.4), camera)


def pegged(piece: Piece, drape: Drape) -> Shot:
    """A scarf or shawl caught over one peg of a rail."""
    pixels = (1000, 1500)
    hang = piece.length * max(drape.front, 1 - drape.front)
    width = frame((piece.cloth.width, hang + 22), (0.6, 0.9), pixels)
    texture = woven(piece)
    rail = 190.0
    size = piece.cloth.width, piece.length
    points = over_peg(size, (0, rail + 1.6, 5.4), drape, piece.cloth.seed)
    cloth = Surface(points, texture, hero=True)
    gap = width * 0.36
    oak = props.peg_rail(-width, width, rail, [-gap, 0, gap])
    centre = rail + 13 - width * pixels[1] / pixels[0] / 2
    back = props.wall(
        (-width, width), (centre - width * 1.4, centre + width * 1.4), seed=piece.cloth.seed
    )
    camera = Camera((0, centre, 560), (0, centre, 0), width, pixels)
    return Shot([back, cloth, *oak], daylight(texel=0.6, lift=0.4), camera)


def over_pole(piece: Piece, drape: Drape) -> Shot:
    """A blanket folded in half over a long pole."""
    pixels = (1500, 1180)
    width = piece.cloth.width / 0.76
    texture = woven(piece)
    rail = 190.0
    size = piece.cloth.width, piece.length
    points = over_rail(size, (0, rail, 7.0), drape, piece.cloth.seed)
    cloth = Surface(points, texture, hero=True)
    reach = size[0] / 2 + 9
    oak = props.bar(-reach, reach, rail, 7.0, drape.radius - 0.25, piece.cloth.seed)
    pins = props.brackets([-reach + 4, reach - 4], rail, 7.0)
    hang = piece.length * drape.front
    centre = rail - hang / 2 - 1
    back = props.wall((-width, width), (centre - width, centre + width), seed=piece.cloth.seed)
    camera = Camera((0, centre, 640), (0, centre, 0), width, pixels)
    return Shot([back, cloth, *oak, *pins], daylight(texel=0.8, lift=0.5), camera)


def from_above(piece: Piece, ripple: float = 0.0, share: tuple = (0.74, 0.82)) -> Shot:
    """A rug or throw laid out on oak boards, seen from straight above."""
    pixels = (1130, 1500)
    size = piece.cloth.width, piece.length
    width = frame(size, share, pixels)
    texture = woven(piece)
    points = on_floor(*size, (0, 0, 0), piece.cloth.seed)
    points = rippled(points, ripple, piece.cloth.seed)
    if piece.cloth.pile:
        points = puffed(points, size, 2.2)
    cloth = Surface(points, texture, hero=True)
    ground = boarded(1.5 * width, 1.9 * width, piece.cloth.seed)
    camera = Camera((0, 600, 0.0), (0, 0, 0), width, pixels)
    room = daylight(FROM_BEHIND, 0.95, 0.40, window=(-260, 240, -200), texel=0.7, lift=0.3)
    return Shot([ground, cloth], room, camera)


def boarded(wide: float, deep: float, seed: int) -> Surface:
    """A floor for views from above, finely grained."""
    points = plane((-wide / 2, 0, -deep / 2), (wide, 0, 0), (0, 0, deep), 1.5)
    return Surface(points, materials.boards(wide, deep, seed=seed, pixels=15.0), casts=False)


def rippled(points: Array, amount: float, seed: int) -> Array:
    """Soft ridges left in a cloth that was shaken out over the floor."""
    if not amount:
        return points
    u, v = points[..., 0] / 110, points[..., 2] / 110
    ridge = noise.waves(0.8 * u + 0.45 * v, seed, 4, 1.1) + 0.6 * noise.waves(
        v - 0.5 * u, seed + 1, 3, 0.8
    )
    points = points.copy()
    points[..., 1] += amount * np.clip(ridge + 0.8, 0, None) ** 1.5
    return points


def puffed(points: Array, size: tuple[float, float], height: float) -> Array:
    """Deep pile: the rug stands up from the floor and rolls over at its rim."""
    points = points.copy()
    rim = np.minimum(size[0] / 2 - np.abs(points[..., 0]), size[1] / 2 - np.abs(points[..., 2]))
    points[..., 1] += height * np.sqrt(np.clip(rim / 3.5, 0, 1)) - 0.6
    points[..., 1] += 0.3 * noise.sample(
        noise.tile(4, 4, 55), points[..., 0] * 2, points[..., 2] * 2
    )
    points[..., 1] = np.maximum(points[..., 1], 0.1)
    return points


def on_bench(piece: Piece) -> Shot:
    """A cushion leaning against the wall on a bench."""
    pixels = (1400, 1180)
    width = 74.0
    texture = woven(piece)
    surfaces = [
        props.wall((-width, width), (0, 170), seed=8),
        *furniture.bench(-86, 120, 45, (1, 44)),
    ]
    for k, side in enumerate(cushion(piece.cloth.width, 17, piece.cloth.seed)):
        points = turned_about(side, "x", -14, (0, -22, 0))
        points = turned_about(points, "y", 9, (0, 0, 0)) + np.array([2, 67.3, 17], np.float32)
        surfaces.append(Surface(points.astype(np.float32), texture, hero=k == 0))
    camera = Camera((14, 82, 330), (1, 65, 14), width, pixels)
    return Shot(surfaces, daylight(texel=0.6, lift=0.5), camera)
