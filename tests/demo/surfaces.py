"""Things in a room as bent sheets: each a grid of points with a picture on it.

In: sizes in cm and a texture. Out: `Surface`. World: x to the right, y up, z out of the wall.
"""

from dataclasses import dataclass, replace

import noise
import numpy as np
from scipy.ndimage import gaussian_filter1d

Array = np.ndarray


@dataclass(frozen=True, slots=True)
class Texture:
    """Linear colour as seen in even light, and where there is anything at all."""

    colour: Array
    cover: Array | None = None
    depth: Array | None = None  # relief, cm: used by close views only
    shares: Array | None = None  # how much of each lot there is, lots in the cloth's order


@dataclass(frozen=True, slots=True)
class Surface:
    """A grid of points (rows, columns, xyz) with a texture stretched over it."""

    points: Array
    texture: Texture
    casts: bool = True
    polish: float = 0.0  # how much of the room it mirrors at a glancing look
    hero: bool = False  # the exposure is set for these
    glow: float = 0.0  # shines by itself: sky in a window, embers in a stove


def plain(colour: tuple[float, float, float]) -> Texture:
    """One flat colour."""
    return Texture(np.full((2, 2, 3), colour, np.float32))


def plane(corner: Array, across: Array, down: Array, step: float) -> Array:
    """Points of a flat rectangle from a corner and its two sides."""
    corner, across, down = (np.asarray(a, np.float32) for a in (corner, across, down))
    columns = max(int(np.linalg.norm(across) / step), 1) + 1
    rows = max(int(np.linalg.norm(down) / step), 1) + 1
    u = np.linspace(0, 1, columns, dtype=np.float32)[None, :, None]
    v = np.linspace(0, 1, rows, dtype=np.float32)[:, None, None]
    return corner + u * across + v * down


def along_path(path: Array, step: float) -> tuple[Array, float]:
    """A polyline (n, 2) resampled to even steps; also its length."""
    gaps = np.hypot(*np.diff(path, axis=0).T)
    run = np.concatenate([[0], np.cumsum(gaps)])
    count = max(int(run[-1] / step), 2) + 1
    at = np.linspace(0, run[-1], count)
    return np.stack([np.interp(at, run, path[:, k]) for k in (0, 1)], 1).astype(np.float32), run[-1]


def rounded(corners: list[tuple[float, float]], radius: float) -> Array:
    """A polyline through corners, with its bends rounded by smoothing over about `radius`."""
    path, _ = along_path(np.array(corners, np.float32), radius / 8)
    soft = gaussian_filter1d(path, 5.0, axis=0, mode="nearest")
    return soft.astype(np.float32)


def swept(path: Array, x0: float, x1: float, step: float) -> Array:
    """A (y, z) path carried from `x0` to `x1`: rows run along the path, columns along x."""
    path, _ = along_path(path, step)
    columns = max(int(abs(x1 - x0) / step), 1) + 1
    x = np.linspace(x0, x1, columns, dtype=np.float32)
    points = np.empty((len(path), columns, 3), np.float32)
    points[..., 0] = x[None, :]
    points[..., 1] = path[:, None, 0]
    points[..., 2] = path[:, None, 1]
    return points


def turned(profile: list[tuple[float, float]], place: tuple[float, float, float]) -> Array:
    """A vessel thrown on a wheel: (radius, height) pairs turned about an upright axis."""
    line = rounded(profile, 1.2)
    angle = np.linspace(0, 2 * np.pi, 140, dtype=np.float32)
    points = np.empty((len(line), len(angle), 3), np.float32)
    points[..., 0] = place[0] + line[:, None, 0] * np.cos(angle)
    points[..., 1] = place[1] + line[:, None, 1]
    points[..., 2] = place[2] + line[:, None, 0] * np.sin(angle)
    return points


def rod(start: Array, end: Array, radius: float) -> Array:
    """A round bar between two points, with slightly rounded ends."""
    start, end = np.asarray(start, np.float32), np.asarray(end, np.float32)
    axis = end - start
    length = float(np.linalg.norm(axis))
    axis = axis / length
    side = np.cross(axis, [0.3, 0.9, 0.31]).astype(np.float32)
    side /= np.linalg.norm(side)
    third = np.cross(axis, side)
    t = np.concatenate([[0, 0], np.linspace(0.15, length - 0.15, max(int(length / 0.4), 3))])
    t = np.concatenate([t, [length, length]])
    size = np.full(len(t), radius)
    size[[0, -1]], size[[1, -2]] = 0.0, 0.86 * radius
    angle = np.linspace(0, 2 * np.pi, 40)
    ring = np.cos(angle)[:, None] * side + np.sin(angle)[:, None] * third
    points = start + t[:, None, None] * axis + size[:, None, None] * ring[None]
    return points.astype(np.float32)


def box(low: Array, high: Array, step: float = 1.2, bevel: float = 0.3) -> list[Array]:
    """A block with its edges taken off by `bevel`: its four long sides as one sheet, two ends."""
    low, high = np.asarray(low, np.float32), np.asarray(high, np.float32)
    y0, y1, z0, z1 = low[1], high[1], low[2], high[2]
    ring = [(y0, z0), (y1, z0), (y1, z1), (y0, z1), (y0, z0)]
    path = rounded([(y0, (z0 + z1) / 2), *ring[:4], ring[4], (y0, (z0 + z1) / 2)], 2 * bevel)
    sides = swept(path, low[0], high[0], min(step, max(bevel, 0.4)))
    depth, height = z1 - z0 - bevel, y1 - y0 - bevel
    ends = [
        plane((x, y0 + bevel / 2, z0 + bevel / 2), (0, 0, depth), (0, height, 0), step)
        for x in (low[0], high[0])
    ]
    return [sides, *ends]


def moved(surface: Surface, shift: tuple[float, float, float]) -> Surface:
    """The same surface elsewhere."""
    return replace(surface, points=surface.points + np.asarray(shift, np.float32))


def turned_about(points: Array, axis: str, degrees: float, centre: Array) -> Array:
    """Points turned about an axis through `centre`."""
    first, second = {"x": (1, 2), "y": (2, 0), "z": (0, 1)}[axis]
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    out = points - np.asarray(centre, np.float32)
    a, b = out[..., first].copy(), out[..., second].copy()
    out[..., first], out[..., second] = c * a - s * b, s * a + c * b
    return (out + np.asarray(centre, np.float32)).astype(np.float32)


# ------------------------------------------------------------------ cloth in its many shapes


def grid(width: float, length: float, step: float) -> tuple[Array, Array]:
    """Positions across (-w/2..w/2) and along (0..length) a cloth, as a grid."""
    columns, rows = int(width / step) + 1, int(length / step) + 1
    across = np.linspace(-width / 2, width / 2, columns, dtype=np.float32)
    along = np.linspace(0, length, rows, dtype=np.float32)
    return np.meshgrid(across, along)


def hung_flat(width: float, length: float, top: tuple[float, float, float], seed: int) -> Array:
    """A heavy hanging: nearly flat, a little belly and a slight flare at its foot."""
    s, t = grid(width, length, 0.7)
    down = t / length
    z = 0.35 * noise.waves(s / width, seed, 4, 0.8) * down**1.5
    z = z + 0.25 * noise.waves(t / length + 0.3 * s / width, seed + 1, 3, 0.7) * down
    curl = 0.5 * np.exp(-(width / 2 - np.abs(s)) / 1.6) * down
    x = s * (1 - 0.006 * np.sin(np.pi * down) ** 2) + 0.12 * noise.waves(down, seed + 2, 3, 1.2)
    return np.stack([top[0] + x, top[1] - t, top[2] + z + curl], -1).astype(np.float32)


def pleated(s: Array, strength: Array, seed: int, folds: float) -> tuple[Array, Array]:
    """Soft lengthwise folds that keep the cloth's own width: (x, z) of each point across.

    The tangent of the cross-section swings by `strength` (radians); x and z are its integral.
    """
    width = float(s.max() - s.min())
    u = (s - s.min()) / width
    drift = 0.18 * noise.waves(np.linspace(0, 1, s.shape[0], dtype=np.float32), seed + 3, 3, 0.6)
    swing = noise.waves(u + 0.03 * drift[:, None], seed, 4, folds)
    angle = np.clip(strength * 1.15 * swing, -1.35, 1.35)
    step = width / (s.shape[1] - 1)
    x = np.cumsum(np.cos(angle), 1) * step
    z = np.cumsum(np.sin(angle), 1) * step
    tilt = np.linspace(0, 1, s.shape[1], dtype=np.float32)[None]
    z = z - z[:, :1] - tilt * (z[:, -1:] - z[:, :1])
    x = x - (x[:, :1] + x[:, -1:]) / 2
    return x.astype(np.float32), (z - z.mean(1, keepdims=True)).astype(np.float32)


@dataclass(frozen=True, slots=True)
class Drape:
    """How a cloth hangs over a rail: how far it is gathered and how the folds run."""

    gather: float = 0.5  # radians of swing at the rail
    open: float = 0.4  # radians at the hem
    folds: float = 2.2
    front: float = 0.5  # share of the length on the near side
    radius: float = 1.4
    step: float = 0.6
    swing: float = 0.0  # degrees: the front hangs a little askew


def over_rail(
    size: tuple[float, float], rail: tuple[float, float, float], drape: Drape, seed: int
) -> Array:
    """A cloth (width, length) laid over a round rail: down the back, over, down the front."""
    width, length = size
    s, t = grid(width, length, drape.step)
    bend = drape.radius * np.pi / 2
    run = t - length * (1 - drape.front)  # 0 on the crown; front positive
    over = np.clip(np.abs(run) / bend, 0, 1)
    hang = np.clip(np.abs(run) - bend, 0, None)
    side = np.sign(run)
    part = hang / (length * np.where(run > 0, drape.front, 1 - drape.front))
    strength = drape.gather + (drape.open - drape.gather) * np.clip(part * 1.3, 0, 1)
    x, z = pleated(s, strength * (0.3 + 0.7 * (1 - np.exp(-((hang / 22) ** 2)))), seed, drape.folds)
    y = rail[1] + drape.radius * np.cos(over * np.pi / 2) - hang
    flare = np.minimum(hang * 0.012, 1.0)
    out = side * drape.radius * np.sin(over * np.pi / 2) + side * flare
    keep = 1 - np.exp(-((hang / 20) ** 2))
    z = z - np.where(run > 0, z.min(1, keepdims=True), z.max(1, keepdims=True))
    zz = rail[2] + out + z * np.where(run > 0, keep, 0.35 * keep)
    sway = np.sin(np.radians(drape.swing)) * hang * np.where(run > 0, 1, -0.6)
    return np.stack([rail[0] + x + sway, y, zz], -1).astype(np.float32)


def over_peg(
    size: tuple[float, float], peg: tuple[float, float, float], drape: Drape, seed: int
) -> Array:
    """A cloth caught over a single peg: drawn together there, opening towards both hems."""
    width, length = size
    s, t = grid(width, length, drape.step)
    run = t - length * (1 - drape.front)
    bend = drape.radius * np.pi / 2
    over = np.clip(np.abs(run) / bend, 0, 1)
    hang = np.clip(np.abs(run) - bend, 0, None)
    opened = 1 - np.exp(-hang / 16)
    strength = drape.gather + (drape.open - drape.gather) * opened
    x, z = pleated(s, strength, seed, drape.folds)
    squeeze = 0.30 + 0.70 * opened
    side = np.sign(run)
    y = rail_height(peg[1], drape.radius, over, hang, s / width)
    out = side * (drape.radius + 1.2) * np.sin(over * np.pi / 2)
    depth = z * (0.55 + 0.45 * (1 - opened))
    zz = peg[2] + out + np.where(run > 0, depth, 0.3 * depth)
    sway = np.sin(np.radians(drape.swing)) * hang * np.where(run > 0, 1, -1.1)
    return np.stack([peg[0] + x * squeeze + sway, y, zz], -1).astype(np.float32)


def rail_height(top: float, radius: float, over: Array, hang: Array, across: Array) -> Array:
    """Height of a cloth caught at one point: its edges sag below the middle."""
    sag = 5.0 * (2 * across) ** 2 * np.exp(-hang / 20)
    return top + radius * np.cos(over * np.pi / 2) - hang - sag


def on_floor(width: float, length: float, place: tuple[float, float, float], seed: int) -> Array:
    """A rug lying flat, its far end away from the viewer; edges not perfectly straight."""
    s, t = grid(width, length, 0.8)
    x = s + 0.35 * noise.waves(t / length, seed, 4, 1.1)
    z = t - length / 2 + 0.3 * noise.waves(s / width, seed + 1, 4, 1.0)
    y = 0.9 + 0.12 * noise.waves(s / width + 0.7 * t / length, seed + 2, 4, 1.5)
    rim = np.minimum(width / 2 - np.abs(s), np.minimum(t, length - t))
    y = y * np.clip(0.25 + rim / 1.2, 0.25, 1)
    return np.stack([place[0] + x, place[1] + y, place[2] + z], -1).astype(np.float32)


def along_profile(
    size: tuple[float, float], path: Array, centre: float, start: float, step: float = 0.7
) -> tuple[Array, Array, Array]:
    """A cloth laid along a (y, z) path from `start` cm on it: points, and each point's normal."""
    width, length = size
    even, total = along_path(path, 0.1)
    run = np.linspace(0, total, len(even))
    s, t = grid(width, length, step)
    at = np.clip(t[:, 0] + start, 0, total)
    y, z = np.interp(at, run, even[:, 0]), np.interp(at, run, even[:, 1])
    ty, tz = np.gradient(y), np.gradient(z)
    norm = np.hypot(ty, tz) + 1e-6
    points = np.stack(
        [centre + s, np.repeat(y[:, None], s.shape[1], 1), np.repeat(z[:, None], s.shape[1], 1)], -1
    )
    normal = np.stack([ty * 0, -tz / norm, ty / norm], -1)[:, None, :]
    return points.astype(np.float32), normal.astype(np.float32), t


def cushion(side: float, thick: float, seed: int, tight: float = 0.05) -> tuple[Array, Array]:
    """Front and back of a stuffed square cover, standing in the x-y plane around the origin."""
    n = int(side / 0.5)
    u = np.linspace(-1, 1, n, dtype=np.float32)
    gx, gy = np.meshgrid(u, u)
    belly = (np.clip(1 - np.abs(gx) ** 2.6, 0, 1) * np.clip(1 - np.abs(gy) ** 2.6, 0, 1)) ** 0.52
    pucker = tight * noise.waves(gx * 1.5, seed, 4, 2) * np.exp(-(1 - np.abs(gy)) * 7)
    pucker = pucker + tight * noise.waves(gy * 1.5, seed + 1, 4, 2) * np.exp(-(1 - np.abs(gx)) * 7)
    soft = 0.05 * noise.waves(gx * 0.6 + gy * 0.35, seed + 2, 3, 0.7)
    z = thick / 2 * belly * (1 + soft) + thick * pucker * belly**0.6
    pull = 1 - 0.055 * (1 - gy**2) * np.abs(gx) ** 3
    pull_y = 1 - 0.055 * (1 - gx**2) * np.abs(gy) ** 3
    x, y = gx * side / 2 * pull, -gy * side / 2 * pull_y
    front = np.stack([x, y, z], -1).astype(np.float32)
    return front, np.stack([x, y, -z], -1).astype(np.float32)
