"""Tags on sheets: where each cell lies, which tag goes into it, where to cut.

In: the size of a tag and of a sheet, how many tags, the first free cell. Out: exact millimetres
from the top left corner of the sheet. Bleed 3 mm where colour reaches the edge (usual among
European printers), nothing to be read within 2 mm of a cut (guillotines and print drift), 5 mm at
the sheet's edge left to the printer's grip (common practice).
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from provenance.problems import Said, Slip
from provenance.public.shapes import PaperSize

BLEED = Fraction(3)
SAFE = Fraction(2)
GRIP = Fraction(5)
MARK = Fraction(4)
EDGE = GRIP + MARK + BLEED
STRIP = Fraction(4)  # for the ruler and its words
RULER = Fraction(100)
_GAP = (BLEED, 2 * BLEED)  # colour runs off to the left, and off both ends


@dataclass(frozen=True, slots=True)
class Layout:
    """A grid of equal cells on a sheet; `left` and `top` are where the first one is cut."""

    sheet_width: Fraction
    sheet_height: Fraction
    cell_width: Fraction
    cell_height: Fraction
    columns: int
    rows: int
    left: Fraction
    top: Fraction
    ruler: str  # 'upright', 'level', or '' where the sheet has no room for one

    @property
    def per_sheet(self) -> int:
        """How many cells a sheet has."""
        return self.columns * self.rows

    def corner(self, cell: int) -> tuple[Fraction, Fraction]:
        """Left and top cut of a cell; cells count from 0, along the rows."""
        row, column = divmod(cell, self.columns)
        return (
            self.left + column * (self.cell_width + _GAP[0]),
            self.top + row * (self.cell_height + _GAP[1]),
        )


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line in millimetres."""

    x1: Fraction
    y1: Fraction
    x2: Fraction
    y2: Fraction


def lay_out(sheet: PaperSize, width: Fraction, height: Fraction) -> Layout:
    """The grid that holds the most tags; a sheet known by name is turned if that holds more.

    A small sheet gives up its ruler and the room for the printer's grip before it is refused. A
    sheet of a tag's own size is a card cut beforehand: one tag, no marks.
    """
    if (sheet.width, sheet.height) == (width, height):
        return Layout(width, height, width, height, 1, 1, Fraction(0), Fraction(0), "")
    sides = [(sheet.width, sheet.height)]
    if sheet.may_turn:
        sides.append((sheet.height, sheet.width))
    for with_ruler, edge in ((True, EDGE), (False, EDGE), (False, MARK + BLEED)):
        found = [_grid(*side, (width, height), edge, with_ruler=with_ruler) for side in sides]
        best = max(found, key=lambda grid: grid.per_sheet)
        if best.per_sheet:
            return best
    edge = 2 * (MARK + BLEED)
    raise Slip(
        Said("tag_slip.sheet", sheet=sheet.name, **in_mm(width=width, height=height)),
        Said("tag_slip.with_marks", **in_mm(width=width + edge, height=height + edge)),
    )


def places(count: int, per_sheet: int, first: int, *, stack: bool) -> list[tuple[int, int]]:
    """Sheet and cell of each tag in turn, both from 0; cells before `first` stay empty.

    In a stack, the sheets are cut together: what lies in one cell, sheet by sheet, becomes one
    pile, and the piles put on each other are in order. Only the last sheet is used in part.
    """
    in_order = [divmod(first + number, per_sheet) for number in range(count)]
    return sorted(in_order, key=lambda place: (place[1], place[0])) if stack else in_order


def cut_marks(layout: Layout, cells: Iterable[int]) -> Iterator[Line]:
    """Marks outside the grid, in line with every edge of the cells that are used."""
    if layout.left < MARK + BLEED:
        return
    corners = [layout.corner(cell) for cell in cells]
    wide, high = layout.cell_width, layout.cell_height
    right, bottom = layout.corner(layout.per_sheet - 1)
    before_x, after_x = layout.left - BLEED, right + wide + BLEED
    before_y, after_y = layout.top - BLEED, bottom + high + BLEED
    for x in sorted({edge for left, _ in corners for edge in (left, left + wide)}):
        yield Line(x, before_y - MARK, x, before_y)
        yield Line(x, after_y, x, after_y + MARK)
    for y in sorted({edge for _, top in corners for edge in (top, top + high)}):
        yield Line(before_x - MARK, y, before_x, y)
        yield Line(after_x, y, after_x + MARK, y)


def ruler_start(layout: Layout) -> tuple[Fraction, Fraction]:
    """Where the 100 mm ruler starts: at the top of the left margin, or the left of the foot."""
    if layout.ruler == "upright":
        return GRIP + 1, EDGE
    return EDGE, layout.sheet_height - GRIP - 1


def _grid(
    sheet_width: Fraction,
    sheet_height: Fraction,
    cell: tuple[Fraction, Fraction],
    edge: Fraction,
    *,
    with_ruler: bool,
) -> Layout:
    ruler = ""
    if with_ruler:
        ruler = "upright" if sheet_height >= RULER + 2 * EDGE else "level"
        if ruler == "level" and sheet_width < RULER + 2 * EDGE:
            return Layout(sheet_width, sheet_height, *cell, 0, 0, edge, edge, "")
    beside, below = edge + STRIP * (ruler == "upright"), edge + STRIP * (ruler == "level")
    columns, left = _along(sheet_width, cell[0], _GAP[0], beside, edge)
    rows, top = _along(sheet_height, cell[1], _GAP[1], edge, below)
    return Layout(sheet_width, sheet_height, *cell, columns, rows, left, top, ruler)


def _along(
    side: Fraction, cell: Fraction, gap: Fraction, before: Fraction, after: Fraction
) -> tuple[int, Fraction]:
    """How many cells fit along a side, and where the first begins: in the middle if it can."""
    count = max(0, int((side - before - after + gap) / (cell + gap)))
    spare = side - count * (cell + gap) + gap
    return count, min(max(before, spare / 2), spare - after) if count else before


def in_mm(**lengths: Fraction) -> dict[str, str]:
    """Lengths in millimetres as they are told: 55, 62.5."""
    return {name: f"{float(length):g}" for name, length in lengths.items()}
