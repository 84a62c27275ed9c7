"""Cloth, thread by thread: which yarn is on top at each point, and how high.

In: a `Cloth` (its yarns, sett, lift plan and design) and a window in centimetres.
Out: a `Swatch` of reflectance, height and coverage at so many pixels a centimetre.
Interlacement follows the lift plan as on a loom: at each crossing either the end or the pick
is up, and both yarns bend smoothly from one crossing to the next.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import noise
import numpy as np
from yarns import Palette, Strand, Yarn, fibres, linear, palette, ply_relief, reflectance

Array = np.ndarray
Plan = Callable[[Array, Array], Array]  # (ends, picks) -> yarn number


def lifts(rows: str) -> Array:
    """A lift plan from rows of `x` (end up) and `.` (pick up), first pick first."""
    return np.array([[mark == "x" for mark in row] for row in rows.split()])


PLAIN = lifts("x. .x")
TWILL = lifts("xx.. .xx. ..xx x..x")


def herringbone(ends: int) -> Array:
    """A 2/2 twill whose threading turns back after `ends`, with a break at the turn."""
    across = np.concatenate([np.arange(ends), np.arange(ends)[::-1] + 2])
    return TWILL[np.arange(4)[:, None], across[None, :] % 4]


def diamond(ends: int, picks: int) -> Array:
    """A 2/2 twill that turns back in both directions."""
    across = np.concatenate([np.arange(ends), np.arange(ends)[::-1] + 2])
    down = np.concatenate([np.arange(picks), np.arange(picks)[::-1] + 2])
    return TWILL[down[:, None] % 4, across[None, :] % 4]


@dataclass(frozen=True, slots=True)
class Cloth:
    """A finished piece of cloth as the loom knows it (centimetres, ends and picks per cm)."""

    width: float
    height: float
    ends: float
    picks: float
    yarns: list[Yarn]
    warp: Plan
    weft: Plan
    plan: Array = field(default_factory=lambda: PLAIN)
    weft_faced: bool = False
    pile: float = 0.0  # height of knotted pile, cm
    seed: int = 1
    edge: float = 0.06  # how uneven the selvedge is, cm
    fill: float = 1.0  # how far the yarns close the cloth; below 1 light comes through
    lead: float = 0.0  # how far a thicker, softer weft spreads over the warp
    beat: float = 0.0  # how much closer the weft is beaten towards both ends
    behind: str = ""  # colour that shows through an open cloth; empty: real holes


@dataclass(frozen=True, slots=True)
class Swatch:
    """A rectangle of cloth: linear reflectance, height (cm), cover 0..1, sheen, yarn direction, and
    which yarn of the cloth is on top (-1: none)."""

    colour: Array
    height: Array
    cover: Array
    sheen: Array
    tilt: Array  # 1 where the yarn runs across the cloth, 0 where it runs along
    lot: Array
    pixels: float  # per centimetre


@dataclass(frozen=True, slots=True)
class Field:
    """Pixel positions of a window, in cm and in threads, a little astray as in real cloth."""

    x: Array
    y: Array
    end: Array
    pick: Array


def lay_out(cloth: Cloth, x: Array, y: Array) -> Field:
    """Positions of the pixels, with ends that lean and picks that bow."""
    gx, gy = np.meshgrid(x.astype(np.float32), y.astype(np.float32))
    slow = noise.tile(24, 24, 11)
    u, v = gx * 9 + 37 * cloth.seed, gy * 9 + 11 * cloth.seed
    ends = gx * cloth.ends + 0.14 * noise.stretched(slow, u * 2, v * 0.7)
    stray = noise.stretched(slow, u * 1.4 + 400, v * 1.4) * 0.25
    ragged = noise.tile(2.2, 2.2, 13)
    hairy = noise.sample(ragged, gx * 70, gy * 70), noise.sample(ragged, gy * 66, gx * 66 + 99)
    ends = ends + 0.035 * hairy[0]
    stray = stray + (0.07 if cloth.weft_faced else 0.035) * hairy[1]
    bow = noise.stretched(slow, u * 0.25 + 90, v * 0.25) * 0.05 * cloth.picks
    return Field(gx, gy, ends, gy * cloth.picks + stray + bow)


def end_up(cloth: Cloth, end: Array, pick: Array) -> Array:
    """Whether the end is up at this crossing."""
    rows, columns = cloth.plan.shape
    return cloth.plan[pick % rows, end % columns]


def eased(f: Array) -> Array:
    """A smooth step, the bend of a yarn between two crossings."""
    return f * f * (3 - 2 * f)


@dataclass(frozen=True, slots=True)
class Candidate:
    """One yarn that may be on top at each pixel."""

    height: Array
    thread: Array
    across: Array
    bead: Array


def bend(first: Array, second: Array, f: Array) -> Array:
    """Level of a yarn between two crossings: 1 on top, -1 below."""
    a, b = first.astype(np.float32) * 2 - 1, second.astype(np.float32) * 2 - 1
    return a + (b - a) * eased(f)


def crown(level: Array, across: Array, swing: float, thick: float) -> Array:
    """Height of a round yarn at a place across it, or far below where it is not."""
    square = across * across
    height = swing * level + thick * np.sqrt(np.clip(1 - square, 0, 1))
    return np.where(square < 1, height, np.float32(-1))


def slubs(along: Array, thread: Array, seed: int) -> Array:
    """How much thinner or thicker a thread is here."""
    row = (thread * 13 % 1024).astype(np.float32)
    return 1 + 0.08 * noise.pick_out(noise.tile(9, 1, seed), along * 11, row)


def pick_at(cloth: Cloth, at: Field, pick: Array) -> Candidate:
    """The given pick at every pixel."""
    left = np.floor(at.end - 0.5).astype(np.int32)
    f = at.end - 0.5 - left.astype(np.float32)
    over_left, over_right = ~end_up(cloth, left, pick), ~end_up(cloth, left + 1, pick)
    level = bend(over_left, over_right, f)
    spread = (0.92 + 0.34 * level) if cloth.weft_faced else cloth.fill * (0.50 + 0.05 * level)
    across = (at.pick - pick.astype(np.float32) - 0.5) / (spread * slubs(at.x, pick, 21))
    shape = (0.055, 0.05) if cloth.weft_faced else (0.16 / cloth.picks, 0.34 / cloth.picks)
    near = np.where(over_left & ~(over_right & (f > 0.5)), left, left + 1)
    return Candidate(crown(level, across, *shape), pick, across, near)


def end_at(cloth: Cloth, at: Field, end: Array) -> Candidate:
    """The given end at every pixel."""
    above = np.floor(at.pick - 0.5).astype(np.int32)
    f = at.pick - 0.5 - above.astype(np.float32)
    up_here, up_next = end_up(cloth, end, above), end_up(cloth, end, above + 1)
    level = bend(up_here, up_next, f)
    half = 0.22 if cloth.weft_faced else cloth.fill * (0.50 + 0.05 * level)
    across = (at.end - end.astype(np.float32) - 0.5) / (half * slubs(at.y, end, 22))
    shape = (0.0, 0.012) if cloth.weft_faced else (0.16 / cloth.ends, 0.34 / cloth.ends)
    near = np.where(up_here & ~(up_next & (f > 0.5)), above, above + 1)
    return Candidate(crown(level, across, *shape), end, across, near)


def highest(candidates: list[Candidate]) -> Candidate:
    """Whatever lies on top at each pixel."""
    top = candidates[0]
    for other in candidates[1:]:
        wins = other.height > top.height
        pairs = ("height", "thread", "across", "bead")
        top = Candidate(*(np.where(wins, getattr(other, n), getattr(top, n)) for n in pairs))
    return top


def weave(cloth: Cloth, x: Array, y: Array, pixels: float) -> Swatch:
    """The cloth at pixel columns `x` and rows `y` (cm from its upper left corner)."""
    at = lay_out(cloth, x, y)
    mix = palette(cloth.yarns)
    if cloth.pile:
        from pile import tufts

        return tufts(cloth, at, mix, pixels)
    row, column = np.floor(at.pick).astype(np.int32), np.floor(at.end).astype(np.int32)
    reach = (-1, 0, 1) if cloth.weft_faced else (0,)
    pick = highest([pick_at(cloth, at, row + k) for k in reach])
    end = end_at(cloth, at, column)
    return blend(cloth, at, (pick, end), mix, pixels)


def blend(
    cloth: Cloth, at: Field, tops: tuple[Candidate, Candidate], mix: Palette, pixels: float
) -> Swatch:
    """Colour and relief of whichever of pick and end is higher."""
    pick, end = tops
    far = np.minimum(at.y, cloth.height - at.y)
    spread = cloth.lead + cloth.beat * (np.exp(-far / 22) - 0.3)
    raised = pick.height + np.where(pick.height > -0.5, 0.3 / cloth.picks * spread, 0)
    is_pick = raised >= end.height
    lot = np.where(
        is_pick, cloth.weft(pick.bead, pick.thread), cloth.warp(end.thread, end.bead)
    ).astype(np.int32)
    strand = Strand(
        lot=lot,
        thread=np.where(is_pick, pick.thread * 2, end.thread * 2 + 1),
        along=np.where(is_pick, at.x, at.y),
        across=np.where(is_pick, pick.across, end.across).astype(np.float32),
        bead=np.where(is_pick, pick.bead, end.bead),
        radius=0.5 / cloth.picks * (1.6 if cloth.weft_faced else 1.0),
    )
    ply = ply_relief(strand, mix, cloth.seed)
    height = np.maximum(raised, end.height).astype(np.float32)
    gap = height < -0.5
    grain = fibres(strand, 200.0, cloth.seed + 9)
    height = height + strand.radius * (0.30 * (ply - 1) + 0.045 * grain)
    height = np.where(gap, -0.06, height)
    colour = reflectance(strand, mix, dye_drift(cloth, at, is_pick), cloth.seed)
    colour = colour * (0.80 + 0.20 * ply)[..., None]
    colour[gap] = linear(cloth.behind) if cloth.behind else 0.25 * colour[gap]
    cover = edges(cloth, at)
    if cloth.fill < 1 and not cloth.behind:
        cover &= ~gap
    seen = np.where(gap, -1, lot).astype(np.int8)
    return Swatch(colour, height, cover, mix.lustre[lot], is_pick * 1.0, seen, pixels)


def dye_drift(cloth: Cloth, at: Field, is_pick: Array) -> Array:
    """Abrash: slow bands along the weaving, with a little change from thread to thread."""
    picks = int(cloth.height * cloth.picks) + 64
    slow = noise.wander(picks, 1.6 * cloth.picks, cloth.seed + 40)
    quick = noise.wander(picks, 0.6, cloth.seed + 41)
    row = np.clip(at.pick.astype(np.int32) + 16, 0, picks - 1)
    across = noise.stretched(noise.tile(40, 40, 12), at.x * 6, at.y * 6)
    drift = 0.8 * slow[row] + 0.35 * quick[row] + 0.4 * across
    return np.where(is_pick, drift, 0.4 * across).astype(np.float32)


def edges(cloth: Cloth, at: Field) -> Array:
    """1 inside the cloth: selvedges drawn in here and there, with the loops of the turning weft."""
    loop = 0.35 / cloth.picks * (1 - np.abs(np.sin(np.pi * at.pick / 2)))
    rows = int(cloth.height * 4) + 64
    row = np.clip((at.y * 4).astype(np.int32) + 16, 0, rows - 1)
    left = cloth.edge * noise.wander(rows, 9, cloth.seed + 50)[row] + loop
    right = cloth.edge * noise.wander(rows, 9, cloth.seed + 51)[row] + loop
    inside = (at.x > left + cloth.edge) & (at.x < cloth.width - right - cloth.edge)
    return inside & (at.y > 0) & (at.y < cloth.height)
