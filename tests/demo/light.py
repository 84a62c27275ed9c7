"""Light: windows, sun through panes, and the bright room; and what of it reaches each point.

In: surfaces and a `Room`. Out: light on every grid point. Light comes from many far directions;
for each the casters are drawn into a depth map and every point asks whether it is seen.
"""

from dataclasses import dataclass, field

import noise
import numpy as np
from camera import Lens, normals, project, unit
from scipy.ndimage import gaussian_filter
from surfaces import Surface

Array = np.ndarray


@dataclass(frozen=True, slots=True)
class Light:
    """A bundle of directions (towards the light) with a strength in red, green and blue."""

    way: Array
    strength: Array
    panes: tuple[float, float, float, float] | None = None  # sun: pane width, height, bar, angle
    aim: tuple[float, float, float] = (0.0, 0.0, 0.0)  # where the middle of the window falls


@dataclass(frozen=True, slots=True)
class Room:
    """Everything needed to light a picture."""

    lights: list[Light]
    window: tuple[float, float, float] = (-260.0, 230.0, 200.0)
    reach: float = 330.0  # cm over which the window's light falls off
    haze: tuple[float, float, float] = (0.80, 0.78, 0.74)
    gain: float = 0.98
    texel: float = 0.9
    lift: float = 0.5
    extra: dict[str, float] = field(default_factory=dict)


def bundle(way: Array, spread: tuple[float, float], count: int, colour: Array, seed: int) -> list:
    """Directions spread over a window: `spread` is half its angle across and up, in radians."""
    way = unit(way)
    side = unit(np.cross([0, 1, 0], way))
    up = np.cross(way, side)
    rng = np.random.default_rng(seed)
    n = int(np.ceil(np.sqrt(count)))
    lights = []
    for k in range(n * n):
        a = ((k % n + rng.random()) / n - 0.5) * 2 * spread[0]
        b = ((k // n + rng.random()) / n - 0.5) * 2 * spread[1]
        lights.append(unit(way + a * side + b * up))
    share = np.asarray(colour, np.float32) / len(lights)
    return [(light, share) for light in lights]


def window_light(way: Array, strength: float, count: int = 49, wide: float = 0.30) -> list[Light]:
    """Daylight from a window, a little cool."""
    colour = np.array([1.0, 1.0, 0.985]) * strength
    return [Light(w, c) for w, c in bundle(way, (wide, wide * 1.3), count, colour, 3)]


def sun_light(way: Array, strength: float, panes: tuple, aim: tuple) -> list[Light]:
    """Low sun through a paned window, a little warm."""
    colour = np.array([1.0, 0.93, 0.80]) * strength
    return [Light(w, c, panes, aim) for w, c in bundle(way, (0.012, 0.012), 16, colour, 4)]


def room_light(strength: float, count: int = 96) -> list[Light]:
    """Light thrown back by pale walls, ceiling and a wooden floor, from all round."""
    k = np.arange(count) + 0.5
    y = 1 - 2 * k / count
    angle = np.pi * (1 + 5**0.5) * k
    r = np.sqrt(1 - y * y)
    ways = np.stack([r * np.cos(angle), y, r * np.sin(angle)], 1).astype(np.float32)
    lights = []
    for way in ways:
        above = 0.5 + 0.5 * way[1]
        tint = np.array([1.0, 0.995, 0.98]) * above + np.array([0.62, 0.55, 0.47]) * (1 - above)
        level = 0.62 + 0.25 * way[1] + 0.30 * max(-way[0], 0)
        lights.append(Light(way, (tint * level * strength * 4 / count).astype(np.float32)))
    return lights


def solid(surface: Surface) -> Array:
    """The points of a surface that stop light: those where its texture covers."""
    points = surface.points
    if surface.texture.cover is None:
        return points.reshape(-1, 3)
    rows, columns = points.shape[:2]
    cover = surface.texture.cover
    r = np.linspace(0, cover.shape[0] - 1, rows).astype(int)
    c = np.linspace(0, cover.shape[1] - 1, columns).astype(int)
    soft = gaussian_filter(cover.astype(np.float32), 2.0)[np.ix_(r, c)]
    return points[soft > 0.35]


def basis(way: Array) -> tuple[Array, Array]:
    """Two directions square to the light."""
    side = unit(np.cross([0.13, 0.97, 0.21], way))
    return side, np.cross(way, side).astype(np.float32)


def seen_by(light: Light, casters: Array, receivers: Array, room: Room, k: int) -> Array:
    """1 where a receiver sees this light, 0 where a caster is in the way."""
    side, up = basis(light.way)
    jitter = noise.hashed(k, 1), noise.hashed(k, 2)
    s, t, d = casters @ side, casters @ up, casters @ light.way
    s0, t0 = float(s.min()), float(t.min())
    i = ((s - s0) / room.texel + jitter[0]).astype(np.int32)
    j = ((t - t0) / room.texel + jitter[1]).astype(np.int32)
    width, height = int(i.max()) + 1, int(j.max()) + 1
    depth = np.full(width * height, -1e9, np.float32)
    np.maximum.at(depth, j * width + i, d)
    i = np.floor((receivers @ side - s0) / room.texel + jitter[0]).astype(np.int32)
    j = np.floor((receivers @ up - t0) / room.texel + jitter[1]).astype(np.int32)
    inside = (i >= 0) & (i < width) & (j >= 0) & (j < height)
    at = np.where(inside, j * width + i, 0)
    ahead = np.where(inside, depth[at], -1e9)
    return (receivers @ light.way > ahead - 0.6 * room.texel).astype(np.float32)


def through_panes(light: Light, points: Array) -> Array:
    """Sun: how much of it comes through the panes at each point, soft at the edges."""
    wide, high, bar, turn = light.panes
    side, up = basis(light.way)
    c, s = np.cos(turn), np.sin(turn)
    rel = points - np.asarray(light.aim, np.float32)
    a, b = rel @ side, rel @ up
    a, b = c * a - s * b, s * a + c * b
    inside = np.ones_like(a)
    for value, size, count in ((a, wide, 2), (b, high, 3)):
        cell = np.abs((value / size + count / 2) % 1.0 - 0.5) * size
        outer = count * size / 2 - np.abs(value)
        for gap in (size / 2 - bar - cell, outer):
            inside = inside * np.clip(gap / 1.2 + 0.5, 0, 1)
    return inside


def light_up(surfaces: list[Surface], room: Room, view: Lens, shape: tuple) -> list[Array]:
    """Light falling on each grid point the camera can see (red, green, blue); 0 elsewhere."""
    shapes = [s.points.shape[:2] for s in surfaces]
    n = np.concatenate([normals(s.points, view.eye).reshape(-1, 3) for s in surfaces])
    p = np.concatenate([s.points.reshape(-1, 3) for s in surfaces])
    casters = np.concatenate([solid(s) for s in surfaces if s.casts])
    seen = np.flatnonzero(in_frame(p, view, shape))
    total = np.zeros((len(p), 3), np.float32)
    total[seen] = gathered_light(p[seen], n[seen], casters, room)
    cuts = np.cumsum([r * c for r, c in shapes])[:-1]
    parts = np.split(total, cuts)
    return [
        gaussian_filter(part.reshape(*size, 3), (0.8, 0.8, 0))
        for part, size in zip(parts, shapes, strict=True)
    ]


def in_frame(points: Array, view: Lens, shape: tuple) -> Array:
    """Whether points fall on the film or near its edge."""
    x, y, depth = project(points, view)
    wide, high = 0.06 * shape[1], 0.06 * shape[0]
    across = (x > -wide) & (x < shape[1] + wide)
    return across & (y > -high) & (y < shape[0] + high) & (depth < 1e8)


def gathered_light(p: Array, n: Array, casters: Array, room: Room) -> Array:
    """Light from every direction that reaches points `p` with normals `n`."""
    receivers = p + room.lift * n
    distance = np.linalg.norm(p - np.asarray(room.window, np.float32), axis=1)
    falloff = ((room.reach / np.maximum(distance, 60)) ** 1.3).astype(np.float32)
    total = np.zeros((len(p), 3), np.float32)
    for k, light in enumerate(room.lights):
        facing = n @ light.way
        lit = np.flatnonzero(facing > 0)
        seen = seen_by(light, casters, receivers[lit], room, k) * facing[lit]
        if light.panes:
            seen = seen * through_panes(light, p[lit])
        elif k < room.extra.get("window", 0):
            seen = seen * falloff[lit]
        total[lit] += seen[:, None] * light.strength
    return total
