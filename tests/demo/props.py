"""The quiet furniture of the pictures: walls, floors, bars, benches, beds, pots.

In: sizes and places in cm. Out: lists of `Surface`.
"""

import materials
import noise
import numpy as np
from surfaces import (
    Surface,
    Texture,
    along_profile,
    box,
    cushion,
    plain,
    plane,
    rod,
    rounded,
    turned,
    turned_about,
)
from yarns import linear

Array = np.ndarray
OAK = "#b9976c"


def wall(
    span: tuple[float, float], height: tuple[float, float], tint: str = "#e9e5dc", seed: int = 1
) -> Surface:
    """A stretch of limewashed wall in the plane z = 0."""
    wide, high = span[1] - span[0], height[1] - height[0]
    points = plane((span[0], height[1], 0), (wide, 0, 0), (0, -high, 0), 1.6)
    return Surface(points, materials.limewash(wide, high, tint, seed), casts=False)


def floor(span: tuple[float, float], depth: float, kind: str = "boards", seed: int = 1) -> Surface:
    """A floor from the wall towards the viewer."""
    wide = span[1] - span[0]
    points = plane((span[0], 0, 0), (wide, 0, 0), (0, 0, depth), 1.8)
    if kind == "flags":
        return Surface(points, materials.flags(wide, depth, seed=seed), casts=False, polish=0.10)
    return Surface(points, materials.boards(wide, depth, seed=seed), casts=False, polish=0.22)


def skirting(span: tuple[float, float], tint: str = "#e4dfd4") -> list[Surface]:
    """A painted board where wall meets floor."""
    return [
        Surface(p, plain(tuple(linear(tint))))
        for p in box((span[0], 0, 0), (span[1], 11, 1.8), 1.4)
    ]


def block(
    low: tuple, high: tuple, base: str = OAK, seed: int = 1, along: str = "x", bevel: float = 0.3
) -> list[Surface]:
    """A piece of oak; `along` x or y says how its grain runs."""
    sides, *ends = box(low, high, 1.0, bevel)
    length = high[0] - low[0]
    girth = 2 * (high[1] - low[1] + high[2] - low[2])
    surfaces = [Surface(sides, materials.oak(length, girth, base, seed, along), polish=0.10)]
    depth, height = high[2] - low[2], high[1] - low[1]
    for k, end in enumerate(ends):
        grain = materials.oak(depth, height, base, seed + 1 + k, "y" if height > depth else "x")
        surfaces.append(Surface(end, grain))
    return surfaces


def bar(x0: float, x1: float, y: float, z: float, radius: float, seed: int = 1) -> list[Surface]:
    """A round oak bar parallel to the wall."""
    points = rod((x0, y, z), (x1, y, z), radius)
    grain = materials.oak(6.3 * radius, x1 - x0, "#a98357", seed, "y")
    return [Surface(points, grain, polish=0.08)]


def brackets(places: list[float], y: float, z: float) -> list[Surface]:
    """Small iron pins that carry a bar."""
    return [
        Surface(rod((x, y, 0), (x, y, z + 0.3), 0.45), plain((0.03, 0.03, 0.03))) for x in places
    ]


def peg_rail(x0: float, x1: float, y: float, pegs: list[float]) -> list[Surface]:
    """An oak board on the wall with turned pegs."""
    surfaces = block((x0, y - 4.5, 0), (x1, y + 4.5, 2.0), OAK, 5)
    for k, x in enumerate(pegs):
        neck = rod((x, y, 1.6), (x, y + 1.6, 8.0), 0.85)
        knob = rod((x, y + 1.5, 7.6), (x, y + 2.0, 9.4), 1.5)
        grain = materials.oak(6, 8, OAK, 20 + k)
        surfaces += [Surface(neck, grain), Surface(knob, grain)]
    return surfaces


def pot(place: tuple[float, float, float], kind: str, base: str, seed: int = 1) -> list[Surface]:
    """A thrown pot: `jug`, `bowl` or `bottle`."""
    shapes = {
        "jug": [
            (0, 0),
            (6.5, 0),
            (9.8, 9),
            (9.2, 17),
            (5.6, 22),
            (5.0, 26),
            (6.0, 28),
            (5.3, 28),
            (4.4, 24),
        ],
        "bowl": [
            (0, 1),
            (5, 0),
            (5.5, 1),
            (10.5, 4.5),
            (13.5, 9.5),
            (13, 9.6),
            (9.5, 5),
            (4, 2.2),
            (0, 2),
        ],
        "bottle": [
            (0, 0),
            (5.2, 0),
            (6.6, 5),
            (6.2, 12),
            (2.4, 18),
            (1.7, 25),
            (2.3, 26.5),
            (1.5, 26.5),
            (1.2, 24),
        ],
    }
    return [Surface(turned(shapes[kind], place), materials.clay(base, seed), polish=0.12)]


def soft_block(
    low: tuple, high: tuple, texture: Texture, radius: float, seed: int
) -> list[Surface]:
    """A mattress or seat: a block with round edges on every side and a little slackness."""
    (points, *_) = box(low, high, 1.2, radius)
    middle = (np.asarray(low, np.float32) + np.asarray(high, np.float32)) / 2
    from_end = np.minimum(points[..., 0] - low[0], high[0] - points[..., 0])
    inset = radius - np.sqrt(np.clip(radius**2 - np.clip(radius - from_end, 0, None) ** 2, 0, None))
    half = (np.asarray(high, np.float32) - np.asarray(low, np.float32)) / 2
    for axis in (1, 2):
        points[..., axis] = middle[axis] + (points[..., axis] - middle[axis]) * (
            1 - inset / half[axis]
        )
    slack = 0.5 * noise.waves(points[..., 0] / 90 + points[..., 2] / 140, seed, 4, 1.2)
    points[..., 1] += slack * np.clip((points[..., 1] - low[1]) / 8, 0, 1)
    caps = []
    for column in (0, -1):
        rim = points[:, column]
        share = np.linspace(1, 0, 12, dtype=np.float32)[None, :, None]
        centre = rim.mean(0)
        caps.append(Surface((centre + (rim[:, None] - centre) * share).astype(np.float32), texture))
    return [Surface(points, texture), *caps]


def pillow(
    place: tuple, size: tuple[float, float, float], lean: float, turn: float, tint: str
) -> list:
    """A pillow standing or lying: size (wide, high, thick), leaning back by `lean` degrees."""
    surfaces = []
    for side in cushion(60, size[2], 7, 0.015):
        points = side * np.array([size[0] / 60, size[1] / 60, 1], np.float32)
        points = turned_about(points, "x", lean, (0, 0, 0))
        points = turned_about(points, "y", turn, (0, 0, 0)) + np.asarray(place, np.float32)
        surfaces.append(Surface(points.astype(np.float32), materials.linen(60, 60, tint, 3)))
    return surfaces


def window(x: tuple[float, float], y: tuple[float, float], deep: float) -> list[Surface]:
    """A window in the wall z = 0: sky behind glass, painted bars, deep reveals, an oak sill."""
    (x0, x1), (y0, y1) = x, y
    wide, high = x1 - x0, y1 - y0
    paint = plain(tuple(linear("#e6e2d8")))
    glass = plane((x0 - 12, y1 + 8, -deep - 1), (wide + 24, 0, 0), (0, -high - 16, 0), 2.0)
    surfaces = [Surface(glass, materials.sky(wide, high), casts=False, glow=1.18)]
    bars = [((x0, y0, -deep), (x0 + 4, y1, -deep + 3)), ((x1 - 4, y0, -deep), (x1, y1, -deep + 3))]
    bars += [((x0, y1 - 4, -deep), (x1, y1, -deep + 3)), ((x0, y0, -deep), (x1, y0 + 5, -deep + 3))]
    bars += [(((x0 + x1) / 2 - 1.1, y0, -deep), ((x0 + x1) / 2 + 1.1, y1, -deep + 2.4))]
    for k in (1, 2):
        level = y0 + 5 + (high - 9) * k / 3
        bars.append(((x0, level - 1, -deep), (x1, level + 1, -deep + 2.4)))
    for low, up in bars:
        surfaces += [Surface(p, paint) for p in box(low, up, 0.9, 0.25)]
    for side in (x0, x1):
        reveal = plane((side, y1, -deep), (0, 0, deep), (0, -high, 0), 1.2)
        surfaces.append(
            Surface(reveal, materials.limewash(deep, high, "#f1eee6", 8), casts=False, glow=0.7)
        )
    head = plane((x0, y1, -deep), (wide, 0, 0), (0, 0, deep), 1.2)
    surfaces.append(
        Surface(head, materials.limewash(wide, deep, "#f1eee6", 9), casts=False, glow=0.62)
    )
    surfaces += block((x0 - 3, y0 - 3.2, -deep), (x1 + 3, y0, 3.5), OAK, 44)
    return surfaces


def pierced_wall(span: tuple, height: tuple, hole: tuple, tint: str) -> list[Surface]:
    """A wall with one opening, as the four stretches round it."""
    (x0, x1), (y0, y1) = hole
    parts = [((span[0], x0), height), ((x1, span[1]), height)]
    parts += [((x0, x1), (height[0], y0)), ((x0, x1), (y1, height[1]))]
    surfaces = []
    texture = materials.limewash(span[1] - span[0], height[1] - height[0], tint, 3)
    scale = texture.colour.shape[1] / (span[1] - span[0])
    for (a, b), (c, d) in parts:
        rows = slice(int((height[1] - d) * scale), max(int((height[1] - c) * scale), 2))
        columns = slice(int((a - span[0]) * scale), max(int((b - span[0]) * scale), 2))
        points = plane((a, d, 0), (b - a, 0, 0), (0, c - d, 0), 1.6)
        surfaces.append(Surface(points, Texture(texture.colour[rows, columns]), casts=False))
    return surfaces


def draped(
    texture: Texture,
    size: tuple[float, float],
    corners: list,
    centre: float,
    seed: int,
    wave: float = 1.0,
) -> Surface:
    """A cloth laid over something whose outline in (y, z) is given, with slack along its edges."""
    path = rounded(corners, 4.0)
    points, normal, run = along_profile(size, path, centre, 0.0)
    width = size[0]
    across = (points[..., 0] - centre) / width
    hem = np.exp(-run / 16) + np.exp(-(size[1] - run) / 16)
    slack = 0.25 * noise.waves(across * 1.2 + run / 160, seed, 4, 1.3)
    slack = slack + 1.5 * hem * noise.waves(across + 0.02 * run / 30, seed + 1, 4, 2.0)
    flat = np.abs(normal[..., 1:2])
    points = points + normal * (0.5 + wave * (slack + 0.4))[..., None] * (1.0 - 0.55 * flat)
    points[..., 0] += 0.5 * noise.waves(run / size[1], seed + 2, 4, 1.0)
    return Surface(points.astype(np.float32), texture, hero=True)
