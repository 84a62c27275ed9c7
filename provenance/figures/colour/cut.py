"""Where in a photo the cloth lies, so that the cloth alone can be shown at its size.

In: a small photo, the yarns of its piece, how wide the cloth is for its height. Out: the edges of
the cloth as shares of the photo, or nothing where that isn't sure: a work that is folded, worn,
seen from the side, or of the colour of its wall. What counts as cloth is what is named as one of
its yarns (`cloth.seen`) or is far from what the border is made of (`ground.background`); among the
boxes that either gives, one has to have the shape of the work. Bounds are ours, set on pictures
whose yarns are known (tests/figures/test_cloth_cut.py).
"""

from collections.abc import Iterator, Sequence
from math import log

import numpy as np

from provenance.figures.colour.cloth import Photo, cells_of, seen
from provenance.figures.colour.ground import background, largest
from provenance.figures.colour.photo import Pixels
from provenance.figures.colour.sights import Yarn

Box = tuple[float, float, float, float]
_FAR = 6.0  # ΔE*ab from the border's colours
_DENSE = (0.5, 0.35, 0.2, 0.1, 0.05)  # of a full row, what makes a row one of the cloth
_SHAPE = 0.02  # by how much, in logarithms, a box may differ from the work's shape
_LEAST = 0.05  # of the photo: less is no picture of a whole work


def cloth_box(photo: Photo, yarns: Sequence[Yarn], under: Sequence[str], wide: float) -> Box | None:
    """Left, top, right and lower edge of the cloth, each from 0 to 1; `wide` is its width for a
    height of one. Of several boxes of that shape it is the largest."""
    height, width = photo.pixels.shape[:2]
    every = (box for mask in _masks(photo, yarns, under) for box in _boxes(mask))
    shaped = [box for box in every if abs(log(_wide(box) / wide)) < _SHAPE]
    left, top, right, lower = max(shaped, key=_area, default=(0, 0, 0, 0))
    if _area((left, top, right, lower)) < _LEAST * width * height:
        return None
    return left / width, top / height, right / width, lower / height


def _area(box: tuple[int, int, int, int]) -> int:
    return (box[2] - box[0]) * (box[3] - box[1])


def _wide(box: tuple[int, int, int, int]) -> float:
    return (box[2] - box[0]) / (box[3] - box[1])


def _masks(photo: Photo, yarns: Sequence[Yarn], under: Sequence[str]) -> Iterator[Pixels]:
    """What is named, what is far from the border, and both together."""
    named = seen(photo, yarns, under) > 0
    cells, places, _ = cells_of(photo.pixels)
    places = places.reshape(named.shape)
    wall, shade = background(cells, places)
    far = largest(((wall[places] > _FAR) & ~shade).astype(np.uint8)) > 0
    yield from (mask for mask in (named, far, named | far) if mask.any())


def _boxes(mask: Pixels) -> Iterator[tuple[int, int, int, int]]:
    """The box of what is dense in a mask, for each measure of dense."""
    across, down = mask.sum(axis=0), mask.sum(axis=1)
    for share in _DENSE:
        columns, rows = (
            np.flatnonzero(counts > share * np.percentile(counts[counts > 0], 90))
            for counts in (across, down)
        )
        yield int(columns[0]), int(rows[0]), int(columns[-1]) + 1, int(rows[-1]) + 1
