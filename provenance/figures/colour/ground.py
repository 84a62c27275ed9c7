"""What in a photo is not the piece: what its border is made of, shade that falls on that, and other
things of a like colour.

In: colours of a photo and where they lie. Out: distances and masks for `cloth`. Bounds are ours.
"""

import numpy as np

from provenance.figures.colour.photo import Pixels, lab_of_light, light_of

_COARSE = 3.0  # steps of Lab in which colours of the border are counted
_TINT = 6.0  # in a* and b*, up to which shade may have the colour of what it falls on
_STEP = 6.0  # in L*, a* and b* together, from pixel to pixel: more is an edge
_BLOCK = 4


def background(cells: Pixels, places: Pixels) -> tuple[Pixels, Pixels]:
    """How far each colour is from what the border of the photo is made of (ΔE*ab), and which
    pixels lie in the shade that goes over into the border without an edge."""
    height, width = places.shape
    deep = max(1, round(0.03 * max(height, width)))
    frame = np.ones((height, width), bool)
    frame[deep : height - deep, deep : width - deep] = False
    colours = lab_of_light(light_of(cells))
    counts = np.bincount(places[frame], minlength=len(cells))
    steps = np.round(colours / _COARSE).astype(np.int64) + 64
    packed = steps[:, 0] << 16 | steps[:, 1] << 8 | steps[:, 2]
    keys, groups = np.unique(packed, return_inverse=True)
    common = keys[np.bincount(groups.reshape(-1), counts) >= 0.002 * frame.sum()]
    if not len(common):
        return np.full(len(cells), np.inf), np.zeros(places.shape, bool)
    walls = (np.stack([common >> 16, common >> 8 & 255, common & 255], -1) - 64) * _COARSE
    shaded = _away(colours[:, 1:], walls[:, 1:]) < _TINT
    shade = _spread(frame, shaded[places], colours.astype(np.float32)[places])
    return _away(colours, walls), shade


def _away(colours: Pixels, walls: Pixels) -> Pixels:
    """How far each colour is from the nearest of others."""
    squares = (colours**2).sum(1)[:, None] + (walls**2).sum(1) - 2 * colours @ walls.T
    found: Pixels = np.sqrt(np.maximum(squares.min(axis=1), 0))
    return found


def _spread(start: Pixels, allowed: Pixels, picture: Pixels) -> Pixels:
    """What can be reached from the start over allowed pixels in small steps of colour; down, up
    and to both sides, twice."""
    down = _steps(picture, allowed)
    across = _steps(np.swapaxes(picture, 0, 1), allowed.T)
    reached = start & allowed
    for step in (across, down, across, down):
        reached = reached.T.copy()
        for row in range(1, len(reached)):
            reached[row] |= reached[row - 1] & step[row - 1]
        for row in range(len(reached) - 2, -1, -1):
            reached[row] |= reached[row + 1] & step[row]
    return reached


def _steps(picture: Pixels, allowed: Pixels) -> Pixels:
    """Where one may step from a row of pixels into the next."""
    one, two, three = np.moveaxis(np.abs(np.diff(picture, axis=0)), -1, 0)
    found: Pixels = (one + two + three < _STEP) & allowed[1:] & allowed[:-1]
    return found


def largest(found: Pixels) -> Pixels:
    """The largest thing that hangs together, and what is nearly as large: the piece. The rest of
    a room may have a yarn's colour by chance."""
    height, width = found.shape
    rows, columns = -(-height // _BLOCK), -(-width // _BLOCK)
    full = np.zeros((rows * _BLOCK, columns * _BLOCK), bool)
    full[:height, :width] = found > 0
    dense = full.reshape(rows, _BLOCK, columns, _BLOCK).mean(axis=(1, 3)) > 0.3
    label = np.where(dense, np.arange(1, rows * columns + 1).reshape(rows, columns), 0)
    before = np.zeros_like(label)
    while (label != before).any():
        before, wide = label, np.pad(label, 1)
        tall = np.maximum(np.maximum(wide[:-2], wide[2:]), wide[1:-1])
        around = np.maximum(np.maximum(tall[:, :-2], tall[:, 2:]), tall[:, 1:-1])
        label = np.where(dense, around, 0)
    names, sizes = np.unique(label[dense], return_counts=True)
    large = names[sizes >= 0.25 * sizes.max()] if len(names) else names
    kept = np.isin(label, large) & dense
    mask = np.repeat(np.repeat(kept, _BLOCK, 0), _BLOCK, 1)[:height, :width]
    return np.where(mask, found, 0).astype(np.uint8)
