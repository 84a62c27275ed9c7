"""Furniture of the pictures: benches, a chest, a bed, a stove, an easy chair.

In: sizes and places in cm. Out: lists of `Surface`.
"""

import materials
import numpy as np
from props import OAK, block, soft_block
from surfaces import Surface, Texture, box, plain, plane, rod, turned_about
from yarns import linear

DARK_OAK = "#8a6a48"
IRON = "#2b2a29"


def bench(
    x0: float, x1: float, height: float, z: tuple[float, float], base: str = OAK
) -> list[Surface]:
    """A plain oak bench: a thick board on two slab legs and a rail."""
    near, far = z[1], z[0]
    surfaces = block((x0, height - 4, far), (x1, height, near), base, 7)
    for k, x in enumerate((x0 + 12, x1 - 16)):
        surfaces += block((x, 0, far + 3), (x + 4, height - 4, near - 3), base, 9 + k, "y")
    middle = (near + far) / 2
    surfaces += block(
        (x0 + 16, height - 13, middle - 1.2), (x1 - 16, height - 6, middle + 1.2), base, 12
    )
    return surfaces


def chest(x0: float, x1: float, height: float, z: tuple[float, float]) -> list[Surface]:
    """A boarded oak chest with a lid a finger wider than its body."""
    far, near = z
    surfaces = block((x0, 6, far), (x1, height - 4.2, near - 1), DARK_OAK, 15)
    surfaces += block((x0 - 1.2, height - 3.6, far), (x1 + 1.2, height, near + 0.6), DARK_OAK, 17)
    for k, x in enumerate((x0 + 1, x1 - 9)):
        surfaces += block((x, 0, near - 9), (x + 8, 7, near - 1.6), DARK_OAK, 18 + k)
    third = (x1 - x0) / 3
    for k in (0, 3):
        left = min(x0 + k * third, x1 - 7)
        surfaces += block(
            (left, 6, near - 1.2), (left + 7, height - 4.4, near - 0.4), DARK_OAK, 21 + k, "y"
        )
    surfaces += block((x0 + 7, 6, near - 1.2), (x1 - 7, 12, near - 0.5), DARK_OAK, 25)
    surfaces += block(
        (x0 + 7, height - 11, near - 1.2), (x1 - 7, height - 4.4, near - 0.5), DARK_OAK, 26
    )
    return surfaces


def bed(x0: float, x1: float, z: tuple[float, float], top: float = 50.0) -> list[Surface]:
    """A low oak bed seen from its side, foot at `x0`, made up in washed linen."""
    far, near = z
    sheet = materials.linen(x1 - x0, 2 * (near - far), "#e3ddd0", 5)
    surfaces = soft_block((x0 + 4, top - 21, far + 2), (x1 - 4, top, near - 2), sheet, 3.5, 3)
    surfaces += block((x0, top - 33, near - 3), (x1, top - 15, near + 1), OAK, 30)
    surfaces += block((x0, top - 33, far), (x0 + 4, top - 11, near + 1), OAK, 31, "y")
    for k, x in enumerate((x0 + 0.5, x1 - 7)):
        surfaces += block((x, 0, near - 6), (x + 6, top - 33, near), OAK, 33 + k, "y")
    return surfaces


def stove(x: float, z: tuple[float, float]) -> list[Surface]:
    """A small iron stove with a glazed door, on a stone hearth, its flue going up the wall."""
    far, near = z
    black = plain(tuple(linear(IRON)))
    hearth = box((x - 48, 0, 0), (x + 48, 4, near + 26), 1.2, 0.5)
    surfaces = [Surface(p, materials.slate(100, 160, "#5d5c59", 4), polish=0.06) for p in hearth]
    parts = [
        ((x - 24, 16, far), (x + 24, 66, near)),
        ((x - 26, 66, far - 1), (x + 26, 69, near + 2)),
        ((x - 18, 24, near - 0.5), (x + 18, 58, near + 1.6)),
        ((x + 19, 38, near), (x + 20.6, 46, near + 4)),
    ]
    parts += [
        ((a, 4, b), (a + 4, 16, b + 4)) for a in (x - 23, x + 19) for b in (far + 1, near - 5)
    ]
    for low, high in parts:
        surfaces += [Surface(p, black, polish=0.10) for p in box(low, high, 0.9, 0.35)]
    glass = plane((x - 13.5, 53, near + 2.4), (27, 0, 0), (0, -23, 0), 1.0)
    surfaces.append(Surface(glass, embers(), casts=False, glow=1.0))
    surfaces.append(
        Surface(rod((x, 69, (far + near) / 2), (x, 320, (far + near) / 2), 6.5), black, polish=0.1)
    )
    return surfaces


def embers() -> Texture:
    """A low fire behind glass."""
    x, y = materials.canvas(27, 23, 8.0)
    glow = np.exp(-(((x - 13) / 8) ** 2) - ((y - 20) / 6.5) ** 2)
    glow = glow * np.clip(0.75 + 0.35 * materials.cloud(x, y, 5, 6), 0, None)
    fire = linear("#ff8a2a") * glow[..., None] * 0.9
    return Texture((fire + linear("#1b1917")).astype(np.float32))


def chair(x: float, z: float) -> list[Surface]:
    """An oak easy chair seen from its side, facing right: flat arms, linen seat and back."""
    seat = materials.linen(70, 150, "#b9b2a3", 6)
    surfaces = soft_block((x - 26, 33, z - 27), (x + 36, 47, z + 27), seat, 3.5, 5)
    back = soft_block((x - 30, 44, z - 27), (x - 16, 92, z + 27), seat, 4.5, 6)
    for part in back:
        points = turned_about(part.points, "z", 13, (x - 22, 46, z))
        surfaces.append(Surface(points, part.texture))
    for k, depth in enumerate((z - 33, z + 29)):
        surfaces += block((x - 34, 60, depth - 1.5), (x + 40, 63, depth + 8 - 1.5), OAK, 50 + k)
        for j, post in enumerate((x - 31, x + 33)):
            surfaces += block(
                (post, 0, depth + 0.5), (post + 4.4, 60, depth + 4.5), OAK, 53 + j + 2 * k, "y"
            )
        surfaces += block((x - 30, 26, depth + 1), (x + 34, 33, depth + 4), OAK, 60 + k)
    return surfaces
