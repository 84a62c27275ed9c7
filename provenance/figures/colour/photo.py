"""Colours read from a photo: the few that stand for a piece, and the one of a swatch.

In: pixels as an array, height x width x 3, 8-bit sRGB. Out: hex colours. The grouping is
k-means in CIELAB (Lloyd 1982) from fixed seeds, so that the same photo always gives the same
palette; the bounds for what counts as background are ours. numpy takes longer to load than most
runs take, so whoever measures a photo imports this module then.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from provenance.figures.colour.space import MATRIX, WHITE, Lab, delta_e, hex_of

Pixels = NDArray[Any]

_GRID = 128  # pixels along the longer side that are looked at
_NEAR_BORDER = 10.0  # ΔE*ab up to which a pixel may belong to the background
_ALIKE = 5.0  # ΔE00 below which two groups of the palette are one colour
_SPECK = 0.02  # share below which a group is an edge, a label or a shadow, not a yarn
_CELL = 6.0  # edge of the Lab cells that seeds are counted in


def palette(pixels: Pixels, count: int) -> list[tuple[str, float]]:
    """At most `count` colours that stand for the photo, each with its share (sum 1), largest first.

    The background (what hangs together with a border of one colour) is set aside, and so are
    specks of less than 2 % of the rest.
    """
    picture = lab_of(_thinned(pixels))
    points = picture[~_background(picture)]
    merged = _merged(_grouped(points, _seeds(points, count)))
    groups = [group for group in merged if group[1] >= _SPECK * len(points)]
    groups = groups or merged[:1]
    whole = sum(size for _, size in groups)
    ranked = sorted(groups, key=lambda group: (-group[1], group[0]))
    return [(hex_of(centre), size / whole) for centre, size in ranked]


def swatch_colour(pixels: Pixels) -> str:
    """The colour of a swatch: the median in Lab of the middle half of the photo, each way."""
    height, width = pixels.shape[:2]
    top, left = height // 4, width // 4
    middle = _thinned(pixels[top : height - top, left : width - left])
    return hex_of(Lab(*np.median(lab_of(middle).reshape(-1, 3), axis=0).tolist()))


def _thinned(pixels: Pixels) -> Pixels:
    """The mean of square blocks, so that the longer side has no more than 128 of them."""
    height, width = pixels.shape[:2]
    block = max(1, -(-max(height, width) // _GRID))
    rows, columns = height // block, width // block
    if block == 1 or not rows or not columns:
        return pixels
    cut = pixels[: rows * block, : columns * block].astype(float)
    blocks: Pixels = cut.reshape(rows, block, columns, block, 3).mean(axis=(1, 3))
    return blocks


def lab_of(pixels: Pixels) -> Pixels:
    """CIELAB of every pixel, by the rules of `colour_space`."""
    return lab_of_light(light_of(pixels.astype(float)))


def light_of(colours: Pixels) -> Pixels:
    """Linear light of 8-bit sRGB (IEC 61966-2-1)."""
    coded = colours / 255
    return np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)


def lab_of_light(light: Pixels) -> Pixels:
    """CIELAB of linear light, by the rules of `colour_space`."""
    share = light @ np.array(MATRIX).T / np.array(WHITE)
    bent = np.where(share > 216 / 24389, np.cbrt(share), (24389 / 27 * share + 16) / 116)
    x, y, z = np.moveaxis(bent, -1, 0)
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def _background(picture: Pixels) -> Pixels:
    """Which pixels are background: near the border's colour and joined to the border.

    Nothing is set aside when the border has no one colour, or when hardly anything would be left
    (cloth that fills the photo).
    """
    frame = np.zeros(picture.shape[:2], dtype=bool)
    frame[[0, -1], :] = frame[:, [0, -1]] = True
    colour = np.median(picture[frame], axis=0)
    near = np.linalg.norm(picture - colour, axis=-1) < _NEAR_BORDER
    joined = _joined(frame & near, near)
    if near[frame].mean() < 0.6 or joined.mean() > 0.97:
        return np.zeros_like(joined)
    return joined


def _joined(start: Pixels, allowed: Pixels) -> Pixels:
    """All allowed pixels that can be reached from the start, side by side."""
    reached, before = start, -1
    while (size := int(reached.sum())) != before:
        before, grown = size, reached.copy()
        grown[1:] |= reached[:-1]
        grown[:-1] |= reached[1:]
        grown[:, 1:] |= reached[:, :-1]
        grown[:, :-1] |= reached[:, 1:]
        reached = grown & allowed
    return reached


def _seeds(points: Pixels, count: int) -> Pixels:
    """Starting colours: well-filled Lab cells, each far from those taken before."""
    cells, sizes = np.unique(np.round(points / _CELL), axis=0, return_counts=True)
    taken = [cells[np.argmax(sizes)]]
    while len(taken) < min(count, len(cells)):
        away = np.min([((cells - seed) ** 2).sum(axis=1) for seed in taken], axis=0)
        taken.append(cells[np.argmax(sizes * away)])
    return np.array(taken) * _CELL


def _grouped(points: Pixels, centres: Pixels) -> list[tuple[Lab, int]]:
    """k-means: (centre, number of pixels) of every group that keeps any pixels."""
    for _ in range(30):
        away = ((points[:, None, :] - centres[None, :, :]) ** 2).sum(axis=2)
        nearest = away.argmin(axis=1)
        members = [points[nearest == index] for index in range(len(centres))]
        moved = np.array([group.mean(axis=0) for group in members if len(group)])
        if moved.shape == centres.shape and np.allclose(moved, centres, atol=0.01):
            break
        centres = moved
    sizes = [len(group) for group in members if len(group)]
    return [(Lab(*centre), size) for centre, size in zip(moved.tolist(), sizes, strict=True)]


def _merged(groups: list[tuple[Lab, int]]) -> list[tuple[Lab, int]]:
    """Groups that the eye takes for one colour are put together, the largest leading."""
    kept: list[tuple[Lab, int]] = []
    for colour, size in sorted(groups, key=lambda group: -group[1]):
        for place, (other, so_far) in enumerate(kept):
            if delta_e(colour, other) < _ALIKE:
                pair, whole = zip(other, colour, strict=True), so_far + size
                mixed = Lab(*((a * so_far + b * size) / whole for a, b in pair))
                kept[place] = (mixed, whole)
                break
        else:
            kept.append((colour, size))
    return kept


def pixels_of(width: int, height: int, raw: bytes) -> Pixels:
    """Pixels from bytes, row by row, three a pixel."""
    return np.frombuffer(raw, dtype=np.uint8).reshape(height, width, 3)
