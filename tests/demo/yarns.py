"""What a yarn looks like up close.

In: a yarn's colours and make, and for each pixel where it lies on a yarn (along, across).
Out: its reflectance (linear light), its relief and its sheen there.
"""

from dataclasses import dataclass

import noise
import numpy as np

Array = np.ndarray


def linear(hex_colour: str) -> Array:
    """The reflectance of a written colour (`#6f7a38`), by the sRGB curve of IEC 61966-2-1."""
    text = hex_colour.lstrip("#")
    value = np.array([int(text[k : k + 2], 16) for k in (0, 2, 4)], np.float32) / 255
    return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)


@dataclass(frozen=True, slots=True)
class Yarn:
    """One lot: colour, how mixed it is, how it is spun, how it shines."""

    colour: str
    lot: str = ""  # how the piece's record calls it
    fleck: str = ""  # the other colour of a heathered yarn; empty: a lighter self
    heather: float = 0.35  # how strongly bead differs from bead
    abrash: float = 0.06  # how far the dye wandered along the skein
    lustre: float = 0.12
    fuzz: float = 0.3  # hairs that stand out of the yarn
    slub: float = 0.10
    plies: int = 2
    twist: float = 2.2  # turns per centimetre of ply


@dataclass(frozen=True, slots=True)
class Palette:
    """Several yarns as columns, so that a pixel can look its own yarn up by number."""

    colour: Array
    fleck: Array
    heather: Array
    abrash: Array
    lustre: Array
    slub: Array
    plies: Array
    twist: Array


def palette(yarns: list[Yarn]) -> Palette:
    """Gather yarns into columns."""

    def column(name: str) -> Array:
        return np.array([getattr(yarn, name) for yarn in yarns], np.float32)

    base = np.array([linear(yarn.colour) for yarn in yarns], np.float32)
    fleck = np.array(
        [
            linear(yarn.fleck) if yarn.fleck else np.clip(base[k] * 1.45 + 0.012, 0, 1)
            for k, yarn in enumerate(yarns)
        ],
        np.float32,
    )
    names = ("heather", "abrash", "lustre", "slub", "plies", "twist")
    return Palette(base, fleck, *(column(name) for name in names))


@dataclass(frozen=True, slots=True)
class Strand:
    """For every pixel: which lot, which thread, where along (cm), where across (-1 to 1)."""

    lot: Array
    thread: Array
    along: Array
    across: Array
    bead: Array  # a number for the visible float, so that it can have a colour of its own
    radius: float  # cm


def ply_relief(strand: Strand, mix: Palette, seed: int) -> Array:
    """1 on the crown of a ply, 0 in the groove between two."""
    turn = mix.twist[strand.lot] * mix.plies[strand.lot]
    start = noise.hashed(strand.thread, seed)
    drift = 0.25 * noise.pick_out(
        noise.tile(6, 1, 5), strand.along * 9, (strand.thread * 7 % 1024).astype(np.float32)
    )
    phase = strand.along * turn + 0.5 * strand.across + start + drift
    return np.abs(np.cos(np.pi * phase)).astype(np.float32)


def fibres(strand: Strand, scale: float, seed: int) -> Array:
    """Single fibres lying along the twist, as grain of unit spread."""
    across = strand.across * strand.radius
    u = (strand.along * 0.86 + across * 0.5) * scale
    v = (across * 0.86 - strand.along * 0.5) * scale * 2.2
    shift = noise.hashed(strand.thread, seed + 1) * 1024
    return noise.pick_out(noise.tile(14, 0.7, 3), u + shift, v + 3 * shift)


def reflectance(strand: Strand, mix: Palette, abrash: Array, seed: int) -> Array:
    """Colour of each pixel: lot, fleck bead by bead and fibre by fibre, dye wandering."""
    lot = strand.lot
    own = noise.hashed(strand.thread, strand.bead, seed + 2) - 0.5
    hair = fibres(strand, 260.0, seed)
    patch = noise.pick_out(
        noise.tile(5, 1.2, 8),
        strand.along * 60 + 1024 * noise.hashed(strand.thread, seed + 3),
        strand.across * 6,
    )
    blend = 0.5 + 0.75 * own + 0.24 * patch + 0.24 * hair
    share = (mix.heather[lot] * np.clip(blend, 0, 1.3))[..., None]
    colour = mix.colour[lot] * (1 - share) + mix.fleck[lot] * share
    # the fleck must not shift the mean: what the record says is the colour of the whole yarn
    mean = mix.heather[lot][..., None] * 0.5
    expected = mix.colour[lot] * (1 - mean) + mix.fleck[lot] * mean
    tone = 1 + mix.abrash[lot] * abrash + 0.11 * hair + 0.05 * patch
    return np.clip(colour * (mix.colour[lot] / expected) * tone[..., None], 0.004, 0.95)
