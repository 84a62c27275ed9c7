"""Fringes: the warp beyond the last pick, twisted into cords or knotted into tassels.

In: a cloth, the kind of fringe and its length. Out: a `Swatch` of the cloth's full width, its
first row at the edge of the cloth.
"""

from dataclasses import dataclass

import noise
import numpy as np
from weave import Cloth, Swatch
from yarns import Palette, palette

Array = np.ndarray


@dataclass(slots=True)
class Sheet:
    """The drawing ground of a fringe, thread on thread."""

    colour: Array
    height: Array
    sheen: Array
    lot: Array
    pixels: float


@dataclass(frozen=True, slots=True)
class Thread:
    """One thread or cord: where its middle runs, how thick it is, how it is twisted."""

    centre: Array  # cm from the left, for each row
    radius: Array  # cm, for each row; 0 where there is nothing
    base: float
    lot: int
    turns: float
    strands: int
    number: int


def draw(sheet: Sheet, thread: Thread, mix: Palette) -> None:
    """Lay one thread on the sheet, over what is lower."""
    px = sheet.pixels
    live = np.flatnonzero(thread.radius > 0)
    if not len(live):
        return
    rows = slice(live[0], live[-1] + 1)
    c, r = thread.centre[rows], np.maximum(thread.radius[rows], 1e-4)
    left = max(int((c.min() - r.max()) * px) - 1, 0)
    right = min(int((c.max() + r.max()) * px) + 2, sheet.height.shape[1])
    if right <= left:
        return
    x = (np.arange(left, right) + 0.5) / px
    across = (x[None] - c[:, None]) / r[:, None]
    along = np.arange(rows.start, rows.stop)[:, None] / px
    phase = along * thread.turns * thread.strands + 0.5 * across + noise.hashed(thread.number, 7)
    ridge = np.abs(np.cos(np.pi * phase))
    crown = np.sqrt(np.clip(1 - across**2, 0, 1))
    height = thread.base + r[:, None] * (crown - 0.30 * (1 - ridge))
    hair = noise.sample(
        noise.tile(1.2, 5, 91),
        (across * r[:, None] + 0.4 * along) * 150 + 37 * thread.number,
        along * 60,
    )
    own = noise.hashed(thread.number, 9) - 0.5
    tone = (0.86 + 0.14 * ridge) * (1 + 0.10 * hair + 0.12 * own)
    colour = mix.colour[thread.lot] * tone[..., None]
    top = (np.abs(across) < 1) & (height > sheet.height[rows, left:right])
    sheet.height[rows, left:right][top] = height[top]
    sheet.colour[rows, left:right][top] = colour[top]
    sheet.sheen[rows, left:right][top] = mix.lustre[thread.lot]
    sheet.lot[rows, left:right][top] = thread.lot


def fringe(cloth: Cloth, kind: str, length: float, pixels: float, seed: int) -> Swatch:
    """A twisted or knotted fringe for one end of the cloth."""
    rows, columns = int(length * pixels), int(cloth.width * pixels)
    sheet = Sheet(
        np.zeros((rows, columns, 3), np.float32),
        np.full((rows, columns), -1.0, np.float32),
        np.zeros((rows, columns), np.float32),
        np.full((rows, columns), -1, np.int8),
        pixels,
    )
    mix = palette(cloth.yarns)
    make = {"twisted": cord, "knotted": tassel}[kind]
    ends = int(cloth.width * cloth.ends)
    group = max(round((0.95 if kind == "twisted" else 1.5) * cloth.ends), 2)
    margin = int(0.12 * cloth.ends)
    for k, first in enumerate(range(margin, ends - margin - group // 2, group)):
        make(cloth, sheet, (first, min(group, ends - margin - first)), mix, seed * 1000 + k)
    there = sheet.height > -0.5
    height = np.where(there, sheet.height, 0.0).astype(np.float32)
    flat = np.zeros_like(height)
    return Swatch(sheet.colour, height, there, sheet.sheen, flat, sheet.lot, pixels)


def sway(y: Array, seed: int, amount: float) -> Array:
    """How far a hanging cord strays sideways (cm) at distance `y` below the cloth."""
    rng = np.random.default_rng(seed)
    lean, bend, phase = rng.normal(0, 0.045), rng.normal(0, 0.16), rng.uniform(0, 6.3)
    return amount * (lean * y + bend * np.sin(y * 0.55 + phase) * np.clip(y / 3, 0, 1.3))


def gathered(cloth: Cloth, ends: tuple[int, int], y: Array, meet: float) -> tuple[Array, float]:
    """Paths of single ends running together from their places in the cloth to one point."""
    first, count = ends
    places = (first + np.arange(count) + 0.5) / cloth.ends
    middle = float(places.mean())
    together = np.clip(y / meet, 0, 1) ** 0.8
    return places[:, None] * (1 - together) + middle * together, middle


def cord(cloth: Cloth, sheet: Sheet, ends: tuple[int, int], mix: Palette, seed: int) -> None:
    """Two bundles twisted together, ended with an overhand knot and a short tuft."""
    total = sheet.height.shape[0] / sheet.pixels
    y = np.arange(sheet.height.shape[0]) / sheet.pixels
    length = total * (0.93 + 0.06 * float(noise.hashed(seed, 3)))
    meet, knot = 0.7, length - 0.75
    wander = sway(y, seed, 1.0)
    paths, middle = gathered(cloth, ends, y, meet)
    lot = int(np.asarray(cloth.warp(np.array([ends[0]]), np.array([0])))[0])
    thin = 0.30 / cloth.ends
    for k, path in enumerate(paths):
        radius = np.where(y < meet * 1.15, thin, 0)
        draw(sheet, Thread(path + wander, radius, 0.02, lot, 2.2, 2, seed * 40 + k), mix)
    thick = 0.30 * np.sqrt(ends[1]) / cloth.ends * 1.25
    run = np.where((y > meet * 0.8) & (y < knot + 0.1), thick * np.clip((y - 0.3) / 0.6, 0.4, 1), 0)
    draw(sheet, Thread(middle + wander, run, 0.05, lot, 1.5, 2, seed), mix)
    lump = 1.75 * thick * np.sqrt(np.clip(1 - ((y - knot) / 0.34) ** 2, 0, 1))
    tuft(sheet, (lot, knot, length), middle + wander, thick, mix, seed)
    draw(sheet, Thread(middle + wander, lump, 0.10, lot, 1.1, 2, seed + 1), mix)


def tuft(
    sheet: Sheet,
    make: tuple[int, float, float],
    centre: Array,
    spread: float,
    mix: Palette,
    seed: int,
) -> None:
    """Loose ends below a knot."""
    lot, top, bottom = make
    y = np.arange(sheet.height.shape[0]) / sheet.pixels
    rng = np.random.default_rng(seed)
    for k in range(7):
        lean = rng.normal(0, 0.16) * spread / 0.16
        end = bottom - rng.uniform(0, 0.25)
        path = centre + lean * np.clip(y - top, 0, None) + 0.25 * spread * rng.normal()
        radius = np.where(
            (y > top) & (y < end), 0.34 * spread * np.clip((end - y) / 0.15, 0.3, 1), 0
        )
        draw(sheet, Thread(path, radius, 0.02 + 0.02 * k, lot, 2.0, 2, seed * 60 + k), mix)


def tassel(cloth: Cloth, sheet: Sheet, ends: tuple[int, int], mix: Palette, seed: int) -> None:
    """A group of ends knotted close to the cloth, then hanging loose side by side."""
    total = sheet.height.shape[0] / sheet.pixels
    y = np.arange(sheet.height.shape[0]) / sheet.pixels
    rng = np.random.default_rng(seed)
    knot = 0.95 + 0.18 * rng.normal()
    wander = sway(y, seed, 0.9)
    paths, middle = gathered(cloth, ends, y, knot)
    lot = int(np.asarray(cloth.warp(np.array([ends[0]]), np.array([0])))[0])
    thin = 0.32 / cloth.ends
    for k, path in enumerate(paths):
        radius = np.where(y < knot + 0.1, thin, 0)
        draw(sheet, Thread(path + wander, radius, 0.02, lot, 2.2, 2, seed * 40 + k), mix)
    strands = max(ends[1], 4)
    for k in range(strands):
        place = (k + 0.5) / strands - 0.5
        lean = place * 0.10 + rng.normal(0, 0.035)
        below = np.clip(y - knot, 0, None)
        path = middle + wander + place * 0.5 * thin * strands * np.clip(below, 0, 1) + lean * below
        path = path + 0.06 * np.sin(y * rng.uniform(0.9, 1.8) + rng.uniform(0, 6)) * np.clip(
            below, 0, 1
        )
        end = total * (0.90 + 0.09 * rng.random())
        radius = np.where((y > knot - 0.1) & (y < end), thin, 0)
        draw(
            sheet, Thread(path, radius, 0.02 + 0.05 * rng.random(), lot, 2.2, 2, seed * 70 + k), mix
        )
    size = 1.25 * thin * np.sqrt(strands) + 0.05
    lump = size * np.sqrt(np.clip(1 - ((y - knot) / (1.25 * size)) ** 2, 0, 1))
    draw(sheet, Thread(middle + wander, lump, 0.12, lot, 0.9, 3, seed + 1), mix)
