"""Which sheets the outline of a work takes, and what part of the wall each shows.

In: a work on its wall, the room on a sheet; all in mm from the work's upper left corner, y down.
Out: tiles. Few sheets go round the whole outline and are glued; for a larger work there are its
four corners and the middle of its top edge.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise, product
from math import ceil

Point = tuple[float, float]
Segment = tuple[Point, Point]
OVERLAP, BESIDE = 10.0, 25.0  # of sheets that are glued; between an outline and a sheet's edge
MOST_GLUED = 6


@dataclass(frozen=True, slots=True)
class Tile:
    """A part of the wall that one sheet shows: its upper left corner, in mm from the work's own,
    its sides, and what it is called; `row` and `column` count where sheets are glued."""

    x: float
    y: float
    width: float
    height: float
    name: str
    row: int = 0
    column: int = 0

    def holds(self, segment: Segment) -> Segment | None:
        """The part of an upright or level line that is on it."""
        (x1, y1), (x2, y2) = segment
        left, right = max(min(x1, x2), self.x), min(max(x1, x2), self.x + self.width)
        top, foot = max(min(y1, y2), self.y), min(max(y1, y2), self.y + self.height)
        return ((left, top), (right, foot)) if left <= right and top <= foot else None


@dataclass(frozen=True, slots=True)
class Wall:
    """A work on its wall, in mm; `hook` is over the top edge, None where it is not recorded."""

    width: float
    height: float
    hook: float | None

    @property
    def edges(self) -> tuple[Segment, ...]:
        """Its outline, edge by edge."""
        wide, high = self.width, self.height
        corners = ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high), (0.0, 0.0))
        return tuple(pairwise(corners))

    @property
    def stem(self) -> Segment:
        """From the hook to the middle of the top edge; without a hook that point alone."""
        middle = self.width / 2
        return (middle, -(self.hook or 0.0)), (middle, 0.0)

    @property
    def top(self) -> float:
        """The highest that is drawn: the top edge, or the hook over it."""
        return min(0.0, -(self.hook or 0.0))


def tiles_of(wall: Wall, wide: float, high: float) -> tuple[Tile, ...]:
    """The sheets of a work, each showing so many mm of the wall: few that are glued, or corners."""
    glued = tuple(_glued(wall, wide, high))
    if len(glued) <= MOST_GLUED:
        return glued
    left, top = -BESIDE, -BESIDE
    right, foot = wall.width + BESIDE - wide, wall.height + BESIDE - high
    over = max(wall.top, 2 * BESIDE - high) - BESIDE
    middle = Tile((wall.width - wide) / 2, over, wide, high, "middle")
    corners = {"upper_left": (left, top), "upper_right": (right, top),
               "lower_left": (left, foot), "lower_right": (right, foot)}  # fmt: skip
    return (middle, *(Tile(x, y, wide, high, name) for name, (x, y) in corners.items()))


def _glued(wall: Wall, wide: float, high: float) -> Iterator[Tile]:
    """Sheets in rows and columns that lap over each other, but for those that nothing passes."""
    across, down = wall.width + 2 * OVERLAP, wall.height - wall.top + 2 * OVERLAP
    columns = max(1, ceil((across - OVERLAP) / (wide - OVERLAP)))
    rows = max(1, ceil((down - OVERLAP) / (high - OVERLAP)))
    left = (wall.width - columns * (wide - OVERLAP) - OVERLAP) / 2
    top = (wall.height + wall.top - rows * (high - OVERLAP) - OVERLAP) / 2
    for row, column in product(range(rows), range(columns)):
        x, y = left + column * (wide - OVERLAP), top + row * (high - OVERLAP)
        tile = Tile(x, y, wide, high, "", row + 1, column + 1)
        if any(tile.holds(each) for each in (*wall.edges, wall.stem)):
            yield tile
