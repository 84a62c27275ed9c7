"""The film: textured, lit surfaces thrown onto it point by point, the nearest kept.

In: surfaces with the light on them and a `Lens`. Out: linear colour and depth of each film pixel.
"""

from dataclasses import dataclass, field

import numpy as np
from camera import Lens, normals, project
from light import Room
from scipy.ndimage import gaussian_filter
from surfaces import Surface

Array = np.ndarray


@dataclass(slots=True)
class Film:
    """What has fallen on the film so far."""

    shape: tuple[int, int]
    places: list[Array] = field(default_factory=list)
    depths: list[Array] = field(default_factory=list)
    colours: list[Array] = field(default_factory=list)
    owners: list[Array] = field(default_factory=list)
    thrown: int = 0  # surfaces so far


def stretch(view: Lens, points: Array, shape: tuple[int, int], dense: float) -> tuple[int, int]:
    """How many samples along and across a surface put `dense` of them on each film pixel."""
    x, y, depth = project(points, view)
    good = (depth < 1e8) & (x > -400) & (x < shape[1] + 400) & (y > -400) & (y < shape[0] + 400)
    if not good.any():
        return 0, 0
    down = np.hypot(np.diff(x, axis=0), np.diff(y, axis=0))[good[1:] & good[:-1]]
    across = np.hypot(np.diff(x, axis=1), np.diff(y, axis=1))[good[:, 1:] & good[:, :-1]]

    def samples(steps: Array, count: int) -> int:
        if not len(steps):
            return count
        return int(np.ceil(float(np.quantile(steps, 0.985)) * dense * (count - 1))) + 2

    return samples(down, points.shape[0]), samples(across, points.shape[1])


def shrunk(picture: Array, rows: int, columns: int) -> Array:
    """A texture averaged down so that one sample covers about one texel."""
    fy = max(int(picture.shape[0] / max(rows, 1) + 0.35), 1)
    fx = max(int(picture.shape[1] / max(columns, 1) + 0.35), 1)
    if fy == 1 and fx == 1:
        return picture
    h, w = picture.shape[0] // fy * fy, picture.shape[1] // fx * fx
    cut = picture[:h, :w].reshape(h // fy, fy, w // fx, fx, -1)
    return cut.mean((1, 3)).reshape(h // fy, w // fx, *picture.shape[2:]).astype(np.float32)


def expose(film: Film, surface: Surface, light: Array, view: Lens, room: Room) -> None:
    """Throw one surface onto the film."""
    film.thrown += 1
    dense = 2.1 if surface.hero else 1.25  # fine beads need more, or they beat against the film
    rows, columns = stretch(view, surface.points, film.shape, dense)
    if rows < 2 or columns < 2:
        return
    colour = shrunk(surface.texture.colour.astype(np.float32), rows, columns)
    cover = surface.texture.cover
    if cover is not None:
        cover = shrunk(cover.astype(np.float32), rows, columns)
    band = max(int(3e6 / columns), 1)
    for start in range(0, rows, band):
        v = np.arange(start, min(start + band, rows)) / (rows - 1)
        strip(
            film,
            surface,
            (colour, cover, light),
            (v, np.arange(columns) / (columns - 1)),
            view,
            room,
        )


def lookup(picture: Array, v: Array, u: Array, order: int = 1) -> Array:
    """Sample a grid (rows, columns, ...) at fractions down `v` and across `u` (outer product)."""
    r, c = v * (picture.shape[0] - 1), u * (picture.shape[1] - 1)
    r0, c0 = (
        np.minimum(r.astype(int), picture.shape[0] - 2),
        np.minimum(c.astype(int), picture.shape[1] - 2),
    )
    extra = (1,) * (picture.ndim - 2)
    fr = (r - r0).reshape(-1, 1, *extra).astype(np.float32)
    fc = (c - c0).reshape(1, -1, *extra).astype(np.float32)
    upper, lower = picture[r0], picture[r0 + 1]
    mixed = upper * (1 - fr) + lower * fr
    return mixed[:, c0] * (1 - fc) + mixed[:, c0 + 1] * fc


def strip(
    film: Film, surface: Surface, maps: tuple, at: tuple[Array, Array], view: Lens, room: Room
) -> None:
    """A few rows of a surface onto the film."""
    colour, cover, light = maps
    v, u = at
    points = lookup(surface.points, v, u)
    x, y, depth = project(points, view)
    keep = (x >= 0) & (x < film.shape[1]) & (y >= 0) & (y < film.shape[0]) & (depth < 1e8)
    if cover is not None:
        keep &= lookup(cover, v, u) > 0.5
    if not keep.any():
        return
    seen = lookup(colour, v, u)[keep] * lookup(light, v, u)[keep]
    if surface.polish:
        seen = seen + mirrored(surface, points, at, view)[keep][:, None] * np.asarray(room.haze)
    film.places.append(
        (y[keep].astype(np.int32) * film.shape[1] + x[keep].astype(np.int32)).astype(np.int32)
    )
    film.owners.append(np.full(int(keep.sum()), film.thrown, np.int16))
    film.depths.append(depth[keep].astype(np.float32))
    film.colours.append(seen.astype(np.float16))


def mirrored(surface: Surface, points: Array, at: tuple[Array, Array], view: Lens) -> Array:
    """Polish: the pale room mirrored at a glancing look, after Schlick's approximation."""
    n = lookup(normals(surface.points, view.eye), *at)
    way = view.eye - points
    cos = np.abs((way * n).sum(-1)) / (np.linalg.norm(way, axis=-1) + 1e-6)
    return surface.polish * (0.04 + 0.96 * np.clip(1 - cos, 0, 1) ** 5)


def develop(film: Film) -> tuple[Array, Array]:
    """The samples of the surface nearest at each film pixel, averaged; and their depth."""
    size = film.shape[0] * film.shape[1]
    place, depth = np.concatenate(film.places), np.concatenate(film.depths)
    colour = np.concatenate(film.colours)
    nearest = np.full(size, 1e9, np.float32)
    np.minimum.at(nearest, place, depth)
    owners, owner = np.concatenate(film.owners), np.zeros(size, np.int16)
    first = depth <= nearest[place]
    owner[place[first]] = owners[first]
    front = (owners == owner[place]) & (depth <= nearest[place] * 1.003 + 0.1)
    place, colour = place[front], colour[front].astype(np.float32)
    count = np.bincount(place, minlength=size).astype(np.float32)
    sums = [np.bincount(place, colour[:, k], size) for k in range(colour.shape[1])]
    picture = np.stack(sums, -1).astype(np.float32) / np.maximum(count, 1)[:, None]
    return fill_gaps(
        picture.reshape(*film.shape, -1), count.reshape(film.shape) > 0
    ), nearest.reshape(film.shape)


def fill_gaps(picture: Array, there: Array) -> Array:
    """Film pixels nothing fell on take the mean of their neighbours."""
    weight = there.astype(np.float32)
    for reach in (1.0, 3.0, 12.0):
        if weight.min() > 0:
            break
        spread = gaussian_filter(picture * weight[..., None], (reach, reach, 0))
        near = gaussian_filter(weight, reach)
        gap = (weight == 0) & (near > 1e-3)
        picture = np.where(gap[..., None], spread / np.maximum(near, 1e-6)[..., None], picture)
        weight = np.where(gap, 1, weight)
    return picture
