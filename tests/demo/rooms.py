"""Nine pieces where they live: above a bench, before a stove, over a bed, on a chair's arm.

In: a `Piece`. Out: `Shot`.
"""

from dataclasses import replace

import furniture
import materials
import noise
import numpy as np
import props
from camera import Camera
from cloths import Piece, woven
from light import sun_light
from surfaces import (
    Surface,
    Texture,
    along_path,
    along_profile,
    hung_flat,
    on_floor,
    rod,
    rounded,
    turned_about,
)
from wholes import Shot, daylight, part_of, puffed
from yarns import linear

Array = np.ndarray
WIDE = (1500, 1125)


def hung(piece: Piece, x: float, top: float) -> list[Surface]:
    """A hanging on its bar at a place on the wall."""
    size = piece.cloth.width, piece.length
    points = hung_flat(*size, (x, top + 1.0, 3.9), piece.cloth.seed)
    cloth = Surface(points, woven(piece), hero=True)
    reach = size[0] / 2 + 3.3
    oak = props.bar(x - reach, x + reach, top, 2.7, 1.1, piece.cloth.seed)
    return [cloth, *oak]


def ebb(piece: Piece) -> Shot:
    """On a pale wall above a narrow bench."""
    surfaces = [props.wall((-170, 170), (0, 290), seed=4), props.floor((-170, 170), 260, seed=4)]
    surfaces += props.skirting((-170, 170))
    surfaces += hung(piece, 0, 186)
    surfaces += furniture.bench(-66, 66, 44, (6, 34))
    surfaces += props.pot((44, 44, 20), "jug", "#4c4a47", 3) + props.pot(
        (19, 44, 22), "bowl", "#d9cfbd", 4
    )
    camera = Camera((10, 112, 520), (4, 112, 10), 250, WIDE)
    return Shot(surfaces, daylight(), camera)


def fold_wall(piece: Piece) -> Shot:
    """On a flagged floor in front of a stove."""
    surfaces = [
        props.wall((-240, 240), (0, 320), seed=6),
        props.floor((-240, 240), 420, "flags", 6),
    ]
    surfaces += furniture.stove(18, (16, 52))
    points = on_floor(piece.cloth.width, piece.length, (0, 0, 0), 21)
    points = turned_about(points, "y", 90, (0, 0, 0)) + np.array([8, 0, 158], np.float32)
    surfaces.append(Surface(points.astype(np.float32), woven(piece), hero=True))
    surfaces += logs((92, 0, 26))
    camera = Camera((30, 185, 520), (12, 40, 100), 282, WIDE)
    return Shot(surfaces, daylight((-0.74, 0.52, 0.42), 0.95, 0.36), camera)


def logs(place: tuple[float, float, float]) -> list[Surface]:
    """Split logs stacked against the wall."""
    surfaces = []
    for k in range(14):
        row, column = divmod(k, 4)
        if row == 3 and column > 1:
            break
        radius = 5.2 + 1.2 * float(noise.hashed(k, 3))
        x = place[0] + column * 12.4 + (row % 2) * 6.2
        y, z = place[1] + 6 + row * 10.6, place[2] - 22 + 3 * float(noise.hashed(k, 4))
        points = rod((x, y, z), (x, y, z + 34), radius)
        surfaces.append(Surface(points, materials.oak(34, 34, "#8d7356", 60 + k, "y")))
    return surfaces


def intake(piece: Piece) -> Shot:
    """Over the foot of a bed."""
    surfaces = bedroom(5)
    texture = part_of(woven(piece), (0, 1), (0, 0.5))
    outline = [(14, 159.0), (53.5, 158.2), (53.5, 8)]
    surfaces.append(props.draped(texture, (70, 186), outline, -34, 31, 1.3))
    camera = Camera((-30, 150, 480), (-6, 58, 90), 224, WIDE)
    room = daylight((-0.70, 0.56, 0.44), 0.80, 0.42)
    sun = sun_light(np.array((-0.66, 0.40, 0.62)), 0.45, (52, 44, 2.4, 0.08), (2, 96, 0))
    return Shot(surfaces, replace(room, lights=room.lights + sun), camera)


def bedroom(seed: int) -> list[Surface]:
    """A low bed along a limewashed wall, its foot to the left, pillows to the right."""
    surfaces = [
        props.wall((-260, 260), (0, 300), seed=seed),
        props.floor((-260, 260), 420, seed=seed),
    ]
    surfaces += props.skirting((-260, 260))
    surfaces += furniture.bed(-84, 122, (10, 156))
    surfaces += props.pillow((96, 57, 47), (48, 66, 17), 90, 3, "#e8e2d6")
    surfaces += props.pillow((94, 57, 116), (48, 66, 17), 90, -4, "#e4ddcf")
    return surfaces


def first_cut(piece: Piece) -> Shot:
    """Folded in quarters on a bed."""
    surfaces = bedroom(9)
    texture = part_of(woven(piece), (0, 1), (0.0, 0.5))
    surfaces += folded(texture, (70, 176), (-38, 50.6, 108), 31)
    camera = Camera((-14, 120, 400), (-20, 58, 100), 136, WIDE)
    return Shot(surfaces, daylight((-0.70, 0.56, 0.44), texel=0.7, lift=0.4), camera)


def folded(texture: Texture, size: tuple[float, float], place: tuple, seed: int) -> list[Surface]:
    """A cloth folded to and fro into a stack of four double layers, folds towards the viewer."""
    width, length = size
    deep, thick, layers = length / 4, 2.5, 4
    corners = []
    for k in range(layers):
        y = thick * (k + 0.5)
        ends = (-deep / 2, deep / 2) if k % 2 == 0 else (deep / 2, -deep / 2)
        corners += [(y, ends[0]), (y, ends[1])]
    path = rounded(corners, 2.6)
    surfaces = []
    for inner in (0.0, 1.15):
        points, _, run = along_profile(size, path, 0.0, 0.0, 0.5)
        part = np.floor(run / deep)
        points[..., 0] += 0.8 * (noise.hashed(part.astype(int), seed) - 0.5)
        sag = 0.35 * noise.waves(points[..., 0] / width, seed, 4, 0.9) * (points[..., 1] / 10)
        points[..., 1] += sag - inner
        points[..., 2] += (
            0.5 * noise.waves(points[..., 0] / width + part * 0.3, seed + 1, 3, 0.8) - inner * 0.3
        )
        points = turned_about(points, "y", -7, (0, 0, 0)) + np.asarray(place, np.float32)
        surfaces.append(Surface(points.astype(np.float32), texture, hero=not inner))
    return surfaces


def gathering(piece: Piece) -> Shot:
    """Beside a low bed, on floorboards."""
    surfaces = bedroom(13)
    points = on_floor(piece.cloth.width, piece.length, (0, 0, 0), 33)
    points = puffed(points, (piece.cloth.width, piece.length), 2.2)
    points = turned_about(points, "y", 90, (0, 0, 0)) + np.array([6, 0, 218], np.float32)
    surfaces.append(Surface(points.astype(np.float32), woven(piece), hero=True))
    camera = Camera((8, 200, 540), (6, 22, 185), 192, WIDE)
    return Shot(surfaces, daylight((-0.72, 0.56, 0.40)), camera)


def peat_hag(piece: Piece) -> Shot:
    """On a whitewashed wall beside a window."""
    hole = ((-128, -58), (96, 208))
    surfaces = props.pierced_wall((-220, 200), (0, 300), hole, "#ece9e1")
    surfaces += props.window(*hole, 26)
    surfaces += hung(piece, 24, 204)
    surfaces += props.pot((-112, 96, -12), "bottle", "#5b4a3c", 3)
    camera = Camera((-26, 146, 520), (-26, 146, 0), 236, WIDE)
    return Shot(surfaces, daylight((-0.70, 0.38, 0.62)), camera)


def heft(piece: Piece) -> Shot:
    """Over the arm of an oak chair."""
    surfaces = [props.wall((-260, 260), (0, 300), seed=17), props.floor((-260, 260), 420, seed=17)]
    surfaces += props.skirting((-260, 260)) + furniture.chair(0, 84)
    texture = part_of(woven(piece), (0, 1), (0.0, 0.5))
    outline = [(48.6, 90), (60, 109.6), (64.2, 110.6), (64.4, 120.8), (62, 122.0), (8, 123.5)]
    total = along_path(np.array(outline, np.float32), 0.2)[1]
    share = total / piece.length
    texture = part_of(texture, (1 - share, 1), (0, 1))
    surfaces.append(props.draped(texture, (55, total), outline, 4, 37, 1.2))
    surfaces += furniture.bench(84, 150, 44, (20, 50)) + props.pot(
        (112, 44, 34), "jug", "#d3c8b4", 7
    )
    camera = Camera((46, 116, 500), (24, 60, 90), 178, WIDE)
    return Shot(surfaces, daylight((-0.66, 0.56, 0.5)), camera)


def lambing_snow(piece: Piece) -> Shot:
    """On a plain wall above a chest."""
    surfaces = [props.wall((-190, 190), (0, 290), seed=21), props.floor((-190, 190), 260, seed=21)]
    surfaces += props.skirting((-190, 190))
    surfaces += hung(piece, 0, 186)
    surfaces += furniture.chest(-64, 64, 56, (4, 50))
    surfaces += props.pot((-40, 56, 26), "bottle", "#4e4b46", 5) + props.pot(
        (-18, 56, 30), "bowl", "#cfc4b0", 6
    )
    camera = Camera((-12, 108, 520), (-4, 106, 10), 236, WIDE)
    return Shot(surfaces, daylight(), camera)


def saltmarsh(piece: Piece) -> Shot:
    """On a limewashed wall, seen from across a room with the sun in it."""
    surfaces = [props.wall((-330, 330), (0, 400), seed=24), props.floor((-330, 330), 460, seed=24)]
    surfaces += props.skirting((-330, 330))
    surfaces += hung(piece, 44, 218)
    surfaces += furniture.bench(-148, -22, 44, (8, 44))
    surfaces += props.pot((-128, 44, 26), "jug", "#d6ccba", 3)
    stack = Texture(np.full((4, 4, 3), (0.30, 0.31, 0.33), np.float32))
    for k, tint in enumerate(("#a9b0b0", "#d8d0bf")):
        cloth = replace(stack, colour=stack.colour * 0 + np.asarray(linear(tint), np.float32))
        surfaces += folded(cloth, (40, 120), (-76 + k, 44.4 + 10.2 * k, 26), 40 + k)
    room = daylight((-0.72, 0.46, 0.56), 0.80, 0.40)
    sun = sun_light(np.array((-0.62, 0.40, 0.68)), 0.50, (52, 56, 2.6, 0.10), (-70, 150, 0))
    camera = Camera((0, 132, 640), (-8, 126, 20), 292, WIDE)
    return Shot(surfaces, replace(room, lights=room.lights + sun), camera)
