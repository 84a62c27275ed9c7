"""The lineage drawing: fleece, yarn, baths, piece as a quiet flow, widths by grams.

In: named nodes in columns with bands between them. Out: an SVG with words on every node and a text
alternative; wide (columns side by side) or narrow (rows, readable at 320 px and printed at 90 mm),
for black ink in greys of the same lightness, where its words tell the lots apart.
Sizes are in em of the drawing's own text, so that words keep their size whatever the width.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from html import escape
from textwrap import wrap

from provenance.figures.colour.space import Lab, hex_of, lab
from provenance.public.lineage import Label, Tree, YarnNode

PX = 13.0  # of a screen, for one em
INK = "currentColor"
LINE = 1.25
GAP = 0.55
BAND = 3.0
DARKEST, LIGHTEST = 30.0, 88.0  # greys kept off black and white, so that every band is seen
LETTER, HEAVY_LETTER = 0.44, 0.49  # mean width of a letter, with something to spare

Point = tuple[float, float]


@dataclass(slots=True)
class _Column:
    """Nodes stacked in one column: where its words start and how wide they may be, their lines,
    and the top and thickness of each node. In em."""

    left: float
    space: float
    lines: list[list[tuple[str, str]]]
    tops: list[float] = field(default_factory=list)
    sizes: list[float] = field(default_factory=list)

    @property
    def end(self) -> float:
        return self.left + self.space

    @property
    def start(self) -> float:
        """Where the bands that come from the left end."""
        return self.left - 0.5

    def stack(self, sizes: Sequence[float], gap: float) -> float:
        """Put the nodes one under another, each with room for its words; the height of all."""
        at = 0.0
        for size, lines in zip(sizes, self.lines, strict=True):
            slot = max(size, len(lines) * LINE)
            self.tops.append(at + (slot - size) / 2)
            self.sizes.append(size)
            at += slot + gap
        return max(at - gap, 0.0)


def greyed(tree: Tree) -> Tree:
    """The tree for black ink alone."""
    return replace(
        tree,
        fleece_colours=tuple(_grey(colour) for colour in tree.fleece_colours),
        twigs=tuple(replace(twig, colour=_grey(twig.colour)) for twig in tree.twigs),
    )


def _grey(colour: str) -> str:
    return hex_of(Lab(min(max(lab(colour)[0], DARKEST), LIGHTEST), 0.0, 0.0))


def draw_wide(tree: Tree, width: float, ink: str = INK, *, run_in: bool = False) -> str:
    """Columns side by side on `width` em.

    `run_in` sets each lot on one line where it fits, for a piece of many lots.
    """
    scale = _scale(tree, -0.25 if run_in else 1.1)
    columns = _columns(tree, width, run_in=run_in)
    sizes = (
        [_grams_of_fleece(tree, n) * scale for n in range(len(tree.fleeces))],
        [_grams_of_yarn(tree, n) * scale for n in range(len(tree.yarns))],
        [twig.grams * scale for twig in tree.twigs],
        [sum(twig.grams for twig in tree.twigs) * scale],
    )
    gap = GAP * 0.6 if run_in else GAP
    heights = [column.stack(each, gap) for column, each in zip(columns, sizes, strict=True)]
    height = max(heights) + gap
    for column, own in zip(columns, heights, strict=True):
        column.tops = [top + (height - own) / 2 for top in column.tops]
    shapes = _wide_bands(tree, columns, scale) + _wide_words(columns, ink)
    return _svg(tree, width, height, shapes)


def _scale(tree: Tree, each: float) -> float:
    """Em of band for a gram: the whole takes about nine lines, and `each` for a lot beyond four."""
    whole = sum(twig.grams for twig in tree.twigs) or 1.0
    beyond = max(0, len(tree.twigs) - 4)
    return max(6.0, 9.0 + each * beyond) / whole


def _grams_of_fleece(tree: Tree, fleece: int) -> float:
    return sum(g.grams for yarn in tree.yarns for g in yarn.fleeces if g.fleece == fleece)


def _grams_of_yarn(tree: Tree, yarn: int) -> float:
    return sum(twig.grams for twig in tree.twigs if twig.yarn == yarn)


def _columns(tree: Tree, width: float, *, run_in: bool) -> list[_Column]:
    """Each as wide as its words want, up to a most; the bands share the rest."""
    labels = (
        list(tree.fleeces),
        [yarn.label for yarn in tree.yarns],
        [twig.label for twig in tree.twigs],
        [tree.piece],
    )
    most = (11.0, 12.5, 22.0 if run_in else 13.0, 9.5)
    spaces = [
        min(limit, max((_wanted(label, run_in=run_in and at == 2) for label in named), default=0.0))
        for at, (named, limit) in enumerate(zip(labels, most, strict=True))
    ]
    narrower = min(1.0, (width - 3 * BAND) / sum(spaces))
    band = (width - sum(spaces) * narrower) / 3
    columns, at = [], 0.0
    for number, (named, space) in enumerate(zip(labels, spaces, strict=True)):
        own = space * narrower
        one_line = run_in and number == 2
        columns.append(_Column(at, own, [_lines(each, own, run_in=one_line) for each in named]))
        at += own + band
    return columns


def _wanted(label: Label, *, run_in: bool) -> float:
    """How wide a node's words would like to be."""
    name, mass = len(label.name) * HEAVY_LETTER, len(label.mass) * LETTER
    return (name + mass + 2 * LETTER if run_in else max(name, mass)) + 2 * LETTER


def _lines(label: Label, space: float, *, run_in: bool = False) -> list[tuple[str, str]]:
    """Name and mass, wrapped to the space; in one line where asked for and where they fit."""
    if run_in and _wanted(label, run_in=True) <= space + 0.01:
        return [(f"{label.name},", label.mass)] if label.mass else [(label.name, "")]
    names = wrap(label.name, max(4, int(space / HEAVY_LETTER)))
    masses = wrap(label.mass, max(4, int(space / LETTER)))
    return [(line, "") for line in names] + [("", line) for line in masses]


def _wide_bands(tree: Tree, columns: list[_Column], scale: float) -> list[str]:
    fleeces, yarns, twigs, piece = columns
    bands: list[str] = []
    used_fleece = [0.0] * len(tree.fleeces)
    used_yarn = [0.0] * len(tree.yarns)
    for number, yarn in enumerate(tree.yarns):
        into = 0.0
        for given in yarn.fleeces:
            size, fleece = given.grams * scale, given.fleece
            start = fleeces.end, fleeces.tops[fleece] + used_fleece[fleece]
            end = yarns.start, yarns.tops[number] + into
            bands.append(_band(start, end, size, tree.fleece_colours[fleece]))
            used_fleece[fleece] += size
            into += size
    at_piece = piece.tops[0]
    for number, twig in enumerate(tree.twigs):
        size, top = twig.grams * scale, twigs.tops[number]
        start = yarns.end, yarns.tops[twig.yarn] + used_yarn[twig.yarn]
        bands.append(_band(start, (twigs.start, top), size, twig.colour))
        used_yarn[twig.yarn] += size
        bands.append(_band((twigs.end, top), (piece.start, at_piece), size, twig.colour))
        at_piece += size
    return bands


def _wide_words(columns: list[_Column], ink: str) -> list[str]:
    """Name and mass, centred on the middle of the node."""
    words: list[str] = []
    for column in columns:
        for top, size, lines in zip(column.tops, column.sizes, column.lines, strict=True):
            first = top + size / 2 - len(lines) * LINE / 2 + 0.92
            words += [
                _text(column.left, first + number * LINE, name, mass, ink)
                for number, (name, mass) in enumerate(lines)
            ]
    return words


def _text(x: float, y: float, name: str, more: str = "", ink: str = INK) -> str:
    """A line of words: the name set heavier, the rest after it."""
    heavy = f'<tspan font-weight="600">{escape(name)}</tspan>' if name else ""
    gap = " " if name and more else ""
    return f'<text x="{x:.2f}" y="{y:.2f}" fill="{ink}">{heavy}{gap}{escape(more)}</text>'


def draw_narrow(tree: Tree, width: float) -> str:
    """Rows under their yarn, each with its band; the piece at the foot as a striped bar."""
    scale = 2.2 / max((twig.grams for twig in tree.twigs), default=1.0)
    shapes: list[str] = []
    at = 0.0
    for number, yarn in enumerate(tree.yarns):
        heading, at = _narrow_heading(tree, yarn, at, width)
        rows, at = _narrow_rows(tree, number, at, scale)
        shapes += heading + rows
        at += 0.8
    stripes = [(twig.colour, twig.grams) for twig in tree.twigs]
    shapes.append(_bar(stripes, 0.0, at, width, 1.4))
    at += 1.4 + LINE
    shapes.append(_text(0, at, tree.piece.name))
    shapes.append(_text(0, at + LINE, "", tree.piece.mass))
    return _svg(tree, width, at + LINE + 0.5, shapes)


def _narrow_heading(tree: Tree, yarn: YarnNode, at: float, width: float) -> tuple[list[str], float]:
    said: list[str] = []
    labels = [Label(tree.fleeces[given.fleece].name, given.mass) for given in yarn.fleeces]
    for label in (*labels, yarn.label):
        for name, mass in _run_in(label, int(width * 1.95)):
            at += LINE
            said.append(_text(0, at - 0.3, name, mass))
    return said, at


def _run_in(label: Label, letters: int) -> list[tuple[str, str]]:
    """Name and mass in one line where they fit, else in two."""
    if len(label.name) + len(label.mass) + 2 <= letters:
        return [(f"{label.name},", label.mass)]
    lines = [(line, "") for line in wrap(label.name, letters)]
    return lines + [("", line) for line in wrap(label.mass, letters)]


def _narrow_rows(tree: Tree, yarn: int, at: float, scale: float) -> tuple[list[str], float]:
    shapes: list[str] = []
    start = at + 0.3
    for twig in (twig for twig in tree.twigs if twig.yarn == yarn):
        size = twig.grams * scale
        row = max(2 * LINE + 0.5, size + 0.4)
        middle = at + row / 2
        shapes.append(_band((0.0, start), (7.0, middle - size / 2), size, twig.colour))
        shapes.append(_text(7.6, middle - 0.15, twig.label.name))
        shapes.append(_text(7.6, middle + LINE - 0.2, "", twig.label.mass))
        start += size
        at += row
    return shapes, max(at, start + 0.4)


def _band(start: Point, end: Point, size: float, colour: str) -> str:
    """A band as a path with level ends; its points are of its upper edge, all in em.

    Hair-thin ones stay visible.
    """
    (x, y), (end_x, end_y), size = start, end, max(size, 0.12)
    bend = (x + end_x) / 2
    return (
        f'<path fill="{colour}" d="M{x:.2f} {y:.2f}C{bend:.2f} {y:.2f} {bend:.2f} {end_y:.2f} '
        f"{end_x:.2f} {end_y:.2f}v{size:.2f}C{bend:.2f} {end_y + size:.2f} {bend:.2f} "
        f'{y + size:.2f} {x:.2f} {y + size:.2f}z"/>'
    )


def _bar(
    stripes: Sequence[tuple[str, float]], x: float, y: float, width: float, height: float
) -> str:
    """Stripes side by side, widths in proportion."""
    whole = sum(amount for _, amount in stripes) or 1.0
    shapes = []
    for colour, amount in stripes:
        part = width * amount / whole
        shapes.append(
            f'<rect x="{x:.2f}" y="{y:.2f}" width="{part:.2f}" height="{height:.2f}" '
            f'fill="{colour}"/>'
        )
        x += part
    return "".join(shapes)


def _svg(tree: Tree, width: float, height: float, shapes: Sequence[str]) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{escape(tree.words)}" '
        f'viewBox="0 0 {width:.2f} {height:.2f}" width="{width * PX:.0f}" '
        f'height="{height * PX:.0f}" font-size="1" '
        f"font-family=\"'Studio Sans','Studio Serif'\">{''.join(shapes)}</svg>"
    )
