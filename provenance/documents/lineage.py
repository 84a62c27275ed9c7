"""The lineage drawing: fleece, yarn, baths, piece as a quiet flow, widths by grams.

In: named nodes in columns with bands between them. Out: an SVG with words on every node and a text
alternative; wide (columns side by side) or narrow (rows, readable at 320 px and printed at 90 mm).
Sizes are in em of the drawing's own text, so that words keep their size whatever the width.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from html import escape
from textwrap import wrap

from provenance.documents.lineage_bands import Band, band_path, bar

LINE = 1.25
GAP = 0.55
FLEECE_COLOUR = "#cbc4b6"


@dataclass(frozen=True, slots=True)
class Label:
    """A node's words: its name, and its masses in smaller words."""

    name: str
    mass: str


@dataclass(frozen=True, slots=True)
class Twig:
    """One lot: its words, colour, weight, and the number of the yarn it was."""

    label: Label
    colour: str
    grams: float
    yarn: int


@dataclass(frozen=True, slots=True)
class Given:
    """What one fleece gave to one yarn: grams of yarn, and the fleece's mass in words."""

    fleece: int
    grams: float
    mass: str


@dataclass(frozen=True, slots=True)
class YarnNode:
    """A yarn: its words, and what came from each fleece."""

    label: Label
    fleeces: tuple[Given, ...]


@dataclass(frozen=True, slots=True)
class Tree:
    """Everything that is drawn."""

    fleeces: tuple[Label, ...]
    fleece_colours: tuple[str, ...]
    yarns: tuple[YarnNode, ...]
    twigs: tuple[Twig, ...]
    piece: Label
    words: str


@dataclass(slots=True)
class _Column:
    """Nodes stacked in one column: top and thickness of each."""

    tops: list[float] = field(default_factory=list)
    sizes: list[float] = field(default_factory=list)

    def shifted(self, by: float) -> None:
        self.tops = [top + by for top in self.tops]

    @property
    def height(self) -> float:
        return self.tops[-1] + self.sizes[-1] if self.tops else 0.0


def draw_wide(tree: Tree, width: float, ink: str = "currentColor", px: float = 13.0) -> str:
    """Columns side by side on `width` em; `px` is the size of one em."""
    scale = _scale(tree)
    columns = [
        _stacked([_grams_of_fleece(tree, n) * scale for n in range(len(tree.fleeces))]),
        _stacked([_grams_of_yarn(tree, n) * scale for n in range(len(tree.yarns))]),
        _stacked([twig.grams * scale for twig in tree.twigs]),
        _stacked([sum(twig.grams for twig in tree.twigs) * scale]),
    ]
    height = max(column.height for column in columns) + GAP
    for column in columns:
        column.shifted((height - column.height) / 2)
    lefts = _lefts(width)
    shapes = _wide_bands(tree, columns, lefts, scale) + _wide_words(tree, columns, lefts, ink)
    return _svg(tree, width, height, "".join(shapes), px)


def _scale(tree: Tree) -> float:
    """Em of band for a gram: the whole takes about nine lines, more for many lots."""
    whole = sum(twig.grams for twig in tree.twigs) or 1.0
    return max(9.0, 1.5 * len(tree.twigs)) / whole


def _stacked(sizes: Sequence[float]) -> _Column:
    column, at = _Column(), 0.0
    for size in sizes:
        slot = max(size, 2 * LINE)
        column.tops.append(at + (slot - size) / 2)
        column.sizes.append(size)
        at += slot + GAP
    return column


def _grams_of_fleece(tree: Tree, fleece: int) -> float:
    return sum(g.grams for yarn in tree.yarns for g in yarn.fleeces if g.fleece == fleece)


def _grams_of_yarn(tree: Tree, yarn: int) -> float:
    return sum(twig.grams for twig in tree.twigs if twig.yarn == yarn)


def _lefts(width: float) -> list[tuple[float, float]]:
    """For each column: where its words start and how wide they may be; bands fill the rest."""
    words = (10.5, 11.0, 12.5, 9.5)
    band = max(3.0, (width - sum(words)) / 3)
    lefts, at = [], 0.0
    for space in words:
        lefts.append((at, space))
        at += space + band
    return lefts


def _wide_bands(
    tree: Tree, columns: list[_Column], lefts: list[tuple[float, float]], scale: float
) -> list[str]:
    bands: list[str] = []
    ends = [left + space for left, space in lefts]
    used_fleece = [0.0] * len(tree.fleeces)
    used_yarn = [0.0] * len(tree.yarns)
    for number, yarn in enumerate(tree.yarns):
        into = 0.0
        for given in yarn.fleeces:
            size, fleece = given.grams * scale, given.fleece
            start = columns[0].tops[fleece] + used_fleece[fleece]
            end = columns[1].tops[number] + into
            colour = tree.fleece_colours[fleece]
            bands.append(band_path(Band(ends[0], start, lefts[1][0] - 0.5, end, size), colour))
            used_fleece[fleece] += size
            into += size
    at_piece = columns[3].tops[0]
    for number, twig in enumerate(tree.twigs):
        size, top = twig.grams * scale, columns[2].tops[number]
        start = columns[1].tops[twig.yarn] + used_yarn[twig.yarn]
        bands.append(band_path(Band(ends[1], start, lefts[2][0] - 0.5, top, size), twig.colour))
        used_yarn[twig.yarn] += size
        bands.append(band_path(Band(ends[2], top, lefts[3][0] - 0.5, at_piece, size), twig.colour))
        at_piece += size
    return bands


def _wide_words(
    tree: Tree, columns: list[_Column], lefts: list[tuple[float, float]], ink: str
) -> list[str]:
    labels = [
        list(tree.fleeces),
        [yarn.label for yarn in tree.yarns],
        [twig.label for twig in tree.twigs],
        [tree.piece],
    ]
    words: list[str] = []
    for column, (left, space), named in zip(columns, lefts, labels, strict=True):
        for top, size, label in zip(column.tops, column.sizes, named, strict=True):
            words.append(_label(label, left, top + size / 2, space, ink))
    return words


def _label(label: Label, left: float, middle: float, space: float, ink: str) -> str:
    """Name and mass, centred on the middle of the node, wrapped to the space."""
    letters = int(space * 1.95)
    lines = [(line, "") for line in wrap(label.name, letters)]
    lines += [("", line) for line in wrap(label.mass, letters + 1)]
    top = middle - len(lines) * LINE / 2 + 0.92
    return "".join(
        _text(left, top + number * LINE, name, ink, mass)
        for number, (name, mass) in enumerate(lines)
    )


def _text(x: float, y: float, name: str, ink: str, more: str = "") -> str:
    """A line of words: the name set heavier, the rest after it."""
    heavy = f'<tspan font-weight="600">{escape(name)}</tspan> ' if name else ""
    return f'<text x="{x:.2f}" y="{y:.2f}" fill="{ink}">{heavy}{escape(more)}</text>'


def draw_narrow(tree: Tree, width: float, ink: str = "currentColor", px: float = 13.0) -> str:
    """Rows under their yarn, each with its band; the piece at the foot as a striped bar."""
    scale = 2.2 / max((twig.grams for twig in tree.twigs), default=1.0)
    shapes: list[str] = []
    at = 0.0
    for number, yarn in enumerate(tree.yarns):
        lines, at = _narrow_heading(tree, yarn, at, width, ink)
        shapes += lines
        at, rows = _narrow_rows(tree, number, at, scale, ink)
        shapes += rows
        at += 0.8
    stripes = [(twig.colour, twig.grams) for twig in tree.twigs]
    shapes.append(bar(stripes, 0.0, at, width, 1.4))
    at += 1.4 + LINE
    shapes.append(_text(0, at, tree.piece.name, ink))
    shapes.append(_text(0, at + LINE, "", ink, tree.piece.mass))
    return _svg(tree, width, at + LINE + 0.5, "".join(shapes), px)


def _narrow_heading(
    tree: Tree, yarn: YarnNode, at: float, width: float, ink: str
) -> tuple[list[str], float]:
    said: list[str] = []
    labels = [Label(tree.fleeces[given.fleece].name, given.mass) for given in yarn.fleeces]
    for label in (*labels, yarn.label):
        for name, mass in _run_in(label, int(width * 1.95)):
            at += LINE
            said.append(_text(0, at - 0.3, name, ink, mass))
    return said, at


def _run_in(label: Label, letters: int) -> list[tuple[str, str]]:
    """Name and mass in one line where they fit, else in two."""
    if len(label.name) + len(label.mass) + 2 <= letters:
        return [(f"{label.name},", label.mass)]
    lines = [(line, "") for line in wrap(label.name, letters)]
    return lines + [("", line) for line in wrap(label.mass, letters)]


def _narrow_rows(
    tree: Tree, yarn: int, at: float, scale: float, ink: str
) -> tuple[float, list[str]]:
    shapes: list[str] = []
    start = at + 0.3
    for twig in (twig for twig in tree.twigs if twig.yarn == yarn):
        size = twig.grams * scale
        row = max(2 * LINE + 0.5, size + 0.4)
        middle = at + row / 2
        shapes.append(band_path(Band(0.0, start, 7.0, middle - size / 2, size), twig.colour))
        shapes.append(_text(7.6, middle - 0.15, twig.label.name, ink))
        shapes.append(_text(7.6, middle + LINE - 0.2, "", ink, twig.label.mass))
        start += size
        at += row
    return max(at, start + 0.4), shapes


def _svg(tree: Tree, width: float, height: float, inside: str, px: float) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{escape(tree.words)}" '
        f'viewBox="0 0 {width:.2f} {height:.2f}" width="{width * px:.0f}" '
        f'height="{height * px:.0f}" font-size="1" '
        f'font-family="Source Sans Pro, sans-serif">{inside}</svg>'
    )
