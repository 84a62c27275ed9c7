"""Which of a piece's own yarns lies at each point of its photo, by colour.

In: a small photo as an array (8-bit sRGB), the piece's yarns with their colours, how the photo was
taken. Out: for each pixel the number of a sight (one yarn, yarns that look alike, or a warp and a
weft that cross there), 0 where it isn't sure. Distance is CIEDE2000 with kL = 2, as CIE 116-1995
has it for textiles: lightness counts half, since folds and light change it. What two crossing yarns
look like from afar is their mean in linear light. Bounds are ours, set on pictures whose yarns are
known (tests/figures/test_cloth_seen.py).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from provenance.figures.colour.ground import background, largest
from provenance.figures.colour.photo import Pixels, lab_of_light, light_of
from provenance.figures.colour.sights import MOST_ALIKE, MOST_SIGHTS, Yarn, crossings, groups_of
from provenance.figures.colour.space import channels, lab, lch

_FAR = 8.0  # beyond this no yarn is meant
_RIVAL = 1.6  # what another yarn must be further away
_WALL = 1.5  # what the background must be further away
_MIXED = (0.2, 0.3, 0.4, 0.5, 0.6)  # shares of warp that are tried
_SAME = 0.45  # what two looks must have in common to mean the same
_MOST_CELLS = 2500
_TURNS = 1  # how often the light is reckoned again
_ENOUGH = 0.05  # of the photo, what must be named before its light is judged
_THERE = 0.03  # of what is named, what a yarn must be to be taken for there
_PLAIN, _WOODEN = 12.0, 60.0  # chroma of what is white, grey or black; of wood and leather
_DARK = 0.004  # of full light: darker differences are noise
_MOST_CAST = 0.25  # in logarithms: more is another colour and no light
_REACH = 2  # pixels each way that are looked at together: a finger is no needle
_FILLED = 0.7  # of these, how many must be named
_ALONE = 0.66  # of the named, how many must be one yarn to be named alone
_BOTH = 0.22  # of the named, the least a second yarn must be to be named with the first


@dataclass(frozen=True, slots=True)
class _Looks:
    """Colours that may be met (linear light and Lab, n x 3), how much of each group of yarns each
    is made of, how much warp is in it (0: a yarn by itself), whether it may be met by itself where
    threads are too fine to be seen, which others would mean something else; which groups have a
    colour that few other things have."""

    light: Pixels
    colours: Pixels
    parts: Pixels
    warp: Pixels
    stays: Pixels
    rivals: Pixels
    pairs: Pixels
    strong: Pixels


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo as small pixels (height x width x 3, 8-bit sRGB), and how it was taken.

    `filled`: the cloth fills the photo, so that its border is no background. `among`: it lies among
    other things, which have any white, grey and brown: a yarn of such a colour says nothing.
    """

    pixels: Pixels
    filled: bool
    among: bool = False


def seen(photo: Photo, yarns: Sequence[Yarn], under: Sequence[str] = ()) -> Pixels:
    """The number of the sight at each pixel, 0 where it isn't sure.

    `under` are the colours of yarns that lie below, seen in a fringe alone: they are never named.
    """
    shape = photo.pixels.shape[:2]
    if not yarns:
        return np.zeros(shape, np.uint8)
    looks = _looks(tuple(yarns), tuple(under))
    cells, places, sizes = cells_of(photo.pixels)
    wall, shade = np.full(len(cells), np.inf), np.zeros(shape, bool)
    if not photo.filled:
        wall, shade = background(cells, places.reshape(shape))
    light = light_of(cells)
    parts, meant = _sure(looks, light, (wall, sizes), np.zeros(looks.parts.shape[1], bool))
    for _ in range(_TURNS):
        sure: Pixels = parts.sum(axis=1) > 0
        cast = _cast(light, looks.light[meant], sure, sizes)
        there = sizes @ parts > _THERE * (sizes @ parts).sum()
        parts, meant = _sure(looks, light / cast, (wall, sizes), there)
    planes = np.moveaxis(parts.astype(np.float32)[places], -1, 0).reshape(-1, *shape)
    if photo.among:
        planes = planes * looks.strong[:, None, None]
    found = _named(planes * ~shade, looks.pairs)
    return found if photo.filled else largest(found)


def _sure(
    looks: _Looks, light: Pixels, photo: tuple[Pixels, Pixels], there: Pixels
) -> tuple[Pixels, Pixels]:
    """How much of each group is in each colour, nothing where that isn't sure; and which look is
    meant.

    One cloth has as much warp in it everywhere: either threads are large enough to be seen, or all
    colours are those of crossings with one share of warp, whichever is nearer to the photo. Where
    threads are seen, two that are `there` may still meet in one pixel.
    """
    wall, sizes = photo
    away = _distances(lab_of_light(light), looks.colours)
    ways = [way for share in (0.0, *_MIXED) if len(way := _columns(looks, share))]
    weight = sizes * (wall > _FAR)
    fit = [np.minimum(away[:, way].min(axis=1), _FAR) @ weight for way in ways]
    chosen = int(np.argmin(fit))
    way = ways[chosen]
    if not chosen:
        meeting = (looks.warp > 0) & ~(looks.parts @ ~there > 0)
        way = np.concatenate([way, np.flatnonzero(meeting)])
    away, rivals = away[:, way], looks.rivals[np.ix_(way, way)]
    best = away.argmin(axis=1)
    near = away[np.arange(len(away)), best]
    other = np.where(rivals[best], away, np.inf).min(axis=1)
    sure = (near < _FAR) & (other - near > _RIVAL) & (wall - near > _WALL)
    return np.where(sure[:, None], looks.parts[way][best], 0.0), way[best]


def _cast(light: Pixels, meant: Pixels, sure: Pixels, sizes: Pixels) -> Pixels:
    """How much brighter each channel of the photo is than its yarns, as far as that can be light
    and no other colour."""
    if sizes[sure].sum() < _ENOUGH * sizes.sum():
        return np.ones(3)
    ratio = np.log((light[sure] + _DARK) / (meant[sure] + _DARK))
    weight = sizes[sure, None] * np.sqrt(meant[sure] + _DARK)
    mean = (ratio * weight).sum(axis=0) / weight.sum(axis=0)
    found: Pixels = np.exp(np.clip(mean, -_MOST_CAST, _MOST_CAST))
    return found


def _columns(looks: _Looks, share: float) -> Pixels:
    """The looks of a cloth with this share of warp: crossings, and what may be met by itself."""
    by_itself = looks.warp == 0
    chosen: Pixels = by_itself & looks.stays | (looks.warp == share) if share else by_itself
    return np.flatnonzero(chosen)


@lru_cache(maxsize=8)
def _looks(yarns: tuple[Yarn, ...], under: tuple[str, ...]) -> _Looks:
    groups, crossed = groups_of(yarns), crossings(yarns)
    unit = np.eye(len(groups))
    told = np.array([len(group) <= MOST_ALIKE for group in groups], float)
    told[MOST_SIGHTS:] = 0
    light = [light_of(np.array(channels(yarn.colour))) for yarn in yarns]
    lost = {n for pair in crossed for n in pair.groups if not _crosses_itself(yarns, groups[n])}
    bare = [
        (light[n], unit[g], 0.0, g not in lost) for g, group in enumerate(groups) for n in group
    ]
    nothing = np.zeros(len(groups))
    bare += [(light_of(np.array(channels(colour))), nothing, 0.0, True) for colour in under]
    table = np.zeros(unit.shape, np.int64)
    for number, pair in enumerate(crossed, len(groups) + 1):
        warp, weft = pair.groups
        table[warp, weft] = table[weft, warp] = number
        for share in _MIXED:  # side by side, as the eye sees them from afar
            parts = np.array([share, 1 - share])
            mixed = parts @ np.array([light[n] for n in pair.yarns])
            bare.append((mixed, parts @ unit[[warp, weft]], share, False))
    lights, made, shares, stays = (np.array(each, float) for each in zip(*bare, strict=True))
    common = np.minimum(made[:, None], made[None]).sum(axis=2)
    looks = lights, lab_of_light(lights), made * told, shares, stays > 0
    strong = [all(_is_strong(yarns[n].colour) for n in group) for group in groups]
    return _Looks(*looks, common < _SAME, table, np.array(strong, np.float32))


def _is_strong(colour: str) -> bool:
    """Whether few things in a room have this colour."""
    tone = lch(lab(colour))
    return tone.chroma > _PLAIN and not (tone.chroma < _WOODEN and 40 < tone.hue < 100)


def _crosses_itself(yarns: Sequence[Yarn], group: Sequence[int]) -> bool:
    """Whether there are both warp and weft among yarns that look alike."""
    uses = " ".join(yarns[n].use for n in group)
    return "warp" in uses and "weft" in uses


def cells_of(pixels: Pixels) -> tuple[Pixels, Pixels, Pixels]:
    """The colours of a picture in steps of 4 in each channel (8 where they would be too many), each
    once; the place of each pixel's among them; how many pixels each has."""
    for bits in (6, 5):
        steps = (pixels >> 8 - bits).reshape(-1, 3).astype(np.int32)
        packed = steps[:, 0] << 2 * bits | steps[:, 1] << bits | steps[:, 2]
        counts = np.bincount(packed, minlength=1 << 3 * bits)
        keys = np.flatnonzero(counts)
        if len(keys) < _MOST_CELLS:
            break
    order = np.zeros(len(counts), np.int32)
    order[keys] = np.arange(len(keys))
    step, last = 1 << 8 - bits, (1 << bits) - 1
    parts = [keys >> 2 * bits, keys >> bits & last, keys & last]
    return np.stack(parts, axis=-1) * step + (step - 1) / 2, order[packed], counts[keys]


def _distances(colours: Pixels, looks: Pixels) -> Pixels:
    """CIEDE2000(2:1:1) of every colour to every look, as in `space.delta_e` but for kL = 2."""
    light, red, yellow = (colours[:, None, k] for k in range(3))
    light2, red2, yellow2 = (looks[None, :, k] for k in range(3))
    mean7 = ((np.hypot(red, yellow) + np.hypot(red2, yellow2)) / 2) ** 7
    stretch = 1.5 - 0.5 * np.sqrt(mean7 / (mean7 + 25.0**7))
    chroma, chroma2 = np.hypot(red * stretch, yellow), np.hypot(red2 * stretch, yellow2)
    hue, hue2 = np.arctan2(yellow, red * stretch), np.arctan2(yellow2, red2 * stretch)
    turn = (hue2 - hue + np.pi) % (2 * np.pi) - np.pi
    middle = hue + turn / 2
    mean_l, mean_c = (light + light2) / 2 - 50, (chroma + chroma2) / 2
    t = (
        1 - 0.17 * np.cos(middle - np.pi / 6) + 0.24 * np.cos(2 * middle)
        + 0.32 * np.cos(3 * middle + np.radians(6)) - 0.20 * np.cos(4 * middle - np.radians(63))
    )  # fmt: skip
    by_l = (light2 - light) / (2 * (1 + 0.015 * mean_l**2 / np.sqrt(20 + mean_l**2)))
    by_c = (chroma2 - chroma) / (1 + 0.045 * mean_c)
    by_h = 2 * np.sqrt(chroma * chroma2) * np.sin(turn / 2) / (1 + 0.015 * mean_c * t)
    degrees = np.degrees(middle) % 360
    swing = np.radians(30) * np.exp(-(((degrees - 275) / 25) ** 2))
    bend = -2 * np.sqrt(mean_c**7 / (mean_c**7 + 25.0**7)) * np.sin(2 * swing)
    found: Pixels = np.sqrt(np.maximum(by_l**2 + by_c**2 + by_h**2 + bend * by_c * by_h, 0))
    return found


def _named(parts: Pixels, pairs: Pixels) -> Pixels:
    """The sight of each pixel, from what is named round about it."""
    held = _boxed(parts) / _boxed(np.ones((1, *parts.shape[1:]), np.float32))
    whole, most = held.sum(axis=0), held.max(axis=0)
    first = held.argmax(axis=0)
    found = np.where(most >= _ALONE * whole, first + 1, 0)
    if pairs.any():
        np.put_along_axis(held, first[None], -1.0, 0)
        second, more = held.argmax(axis=0), held.max(axis=0)
        both = (found == 0) & (more >= _BOTH * whole) & (most + more >= 0.85 * whole)
        found = np.where(both, pairs[first, second], found)
    return np.where(whole >= _FILLED, found, 0).astype(np.uint8)


def _boxed(planes: Pixels) -> Pixels:
    """The sum over a square round each pixel of each plane."""
    for axis in (1, 2):
        wide = [(0, 0)] * 3
        wide[axis] = (_REACH, _REACH)
        padded, size = np.pad(planes, wide), planes.shape[axis]
        cuts = [(slice(None),) * axis + (slice(n, n + size),) for n in range(2 * _REACH + 1)]
        planes = np.sum([padded[cut] for cut in cuts], axis=0)
    return planes
