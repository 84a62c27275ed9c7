"""A wall drawn to scale: where everything on the page of a hanging plan lies, in millimetres.

In: a public wall, the room on the sheet. Out: `Drawing`s, one for a wall, more for a very long one.
From the upper left corner of the drawing, whose floor is at `floor`. Nothing is drawn here.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from provenance.press.letters.faces import SANS, SERIF
from provenance.press.letters.measure import width_mm
from provenance.public.show import Hung, PublicWall

# Scales that a rule for drawings has, or whose centimetres are easily counted: 1 : 24 is half an
# inch to the foot.
SCALES = (5, 10, 12, 15, 16, 20, 24, 25, 30, 40, 50, 60, 75, 100)
SMALLEST = 30  # a longer wall is cut between two works rather than drawn smaller
ABOVE = Fraction(18)  # cm of wall shown above the highest hook, for its measure
LABEL = (Fraction(10), Fraction(7))  # cm: a label as it hangs beside a work
LABEL_AT = Fraction(137)  # cm above the floor: the best height (Gaylord, accessible labels)
BESIDE = Fraction(5)  # cm from a work to its label
_WORDS = 23.0  # mm that `middle 152.0` takes
_APART = 2.0  # mm between one name and the next
_BEYOND = 10.0  # mm that a name may reach beyond the ends of the drawing
_NAME = Fraction(9)  # points
_HIGH = 3.8  # mm: a line of a height
_ROOM_FOR_WORDS = 13.0  # mm beside a work for its heights; narrower gaps leave them to the list


Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Drawn:
    """A work in the drawing, in mm: its box, its hook; `heights` is where the lines with those of
    its upper and its lower edge begin, beside it. Its label as left, top, width, height. None where
    the gap is too narrow."""

    work: Hung
    left: float
    top: float
    width: float
    height: float
    hook: tuple[float, float]
    heights: tuple[float, float] | None
    label: Box | None

    @property
    def lower(self) -> float:
        """Its lower edge."""
        return self.top + self.height

    @property
    def middle(self) -> float:
        """Its middle, from the left."""
        return self.left + self.width / 2


@dataclass(frozen=True, slots=True)
class Drawing:
    """A wall, or its part from `start` to `end` in cm, at 1 : `scale`; `gaps` are left and right
    ends in mm with the length in cm, as far as they lie in this part."""

    wall: PublicWall
    start: Fraction
    end: Fraction
    scale: int
    width: float
    floor: float
    middle: float
    works: tuple[Drawn, ...]
    gaps: tuple[tuple[float, float, Fraction], ...]

    @property
    def goes_on(self) -> tuple[bool, bool]:
        """Whether the wall goes on to the left, and to the right."""
        return self.start > 0, self.end < self.wall.width

    @property
    def free_at(self) -> float | None:
        """Where on the centre line a few words have room, in mm; None where they have none."""
        first, last = self.gaps[0], self.gaps[-1]
        if first[1] - first[0] >= _WORDS:
            return first[0]
        beside = float((LABEL[0] + 2 * BESIDE) * 10 / self.scale)
        return last[1] - _WORDS if last[1] - last[0] >= _WORDS + beside else None

    def names(self, titles: Mapping[str, str]) -> str:
        """How the names of the works (their numbers and `titles`) fit below the floor: in a line,
        stacked (number, title below it), or the number alone, every other one lower."""
        named = [(_width(f"{n} ", SANS, 300), _width(titles[n], SERIF, 400))
                 for n in (each.work.number for each in self.works)]  # fmt: skip
        ways = {"line": [sum(both) for both in named], "stacked": [max(both) for both in named]}
        return next((way for way, widths in ways.items() if self._have_room(widths)), "number")

    def _have_room(self, widths: Sequence[float]) -> bool:
        """Whether words so wide, each under the middle of its work, lie beside each other."""
        ends = [(each.middle - wide / 2, each.middle + wide / 2)
                for each, wide in zip(self.works, widths, strict=True)]  # fmt: skip
        first, last = -_BEYOND - _APART, self.width + _BEYOND + _APART
        edges = [(first, first), *ends, (last, last)]
        return all(right + _APART <= left for (_, right), (left, _) in pairwise(edges))


def drawings(wall: PublicWall, room: tuple[float, float]) -> Iterator[Drawing]:
    """The wall within so many mm of width and height, at the largest scale that fits."""
    for start, works, end in _parts(wall, room[0]):
        shown = _shown(wall)
        scale = _scale(end - start, shown, room)
        yield _drawing(wall, (start, end, shown), works, scale)


def _shown(wall: PublicWall) -> Fraction:
    """How much of the height of the wall is drawn, in cm."""
    highest = max((max(each.top, each.hook) for each in wall.works), default=wall.centre)
    return max(highest + ABOVE, wall.height or Fraction(0))


def _scale(width: Fraction, height: Fraction, room: tuple[float, float]) -> int:
    needed = max(width * 10 / Fraction(room[0]), height * 10 / Fraction(room[1]))
    return next((scale for scale in SCALES if scale >= needed), int(needed) + 1)


def _parts(wall: PublicWall, width: float) -> Iterator[tuple[Fraction, Sequence[int], Fraction]]:
    """Where each part begins and ends, in cm, and the places of its works: cut in the middle of a
    gap, as late as can be."""
    most = Fraction(width) * SMALLEST / 10
    cuts = [wall.works[n].left - wall.gaps[n] / 2 for n in range(1, len(wall.works))]
    ends, start, first = [*cuts, wall.width], Fraction(0), 0
    for place, end in enumerate(ends):
        is_last = place == len(ends) - 1
        if is_last or ends[place + 1] - start > most:
            yield start, range(first, min(place + 1, len(wall.works))), end
            start, first = end, place + 1


def _drawing(
    wall: PublicWall,
    part: tuple[Fraction, Fraction, Fraction],
    works: Sequence[int],
    scale: int,
) -> Drawing:
    start, end, shown = part
    mm = Fraction(10, scale)
    drawn = tuple(_drawn(wall, place, (start, shown), mm) for place in works)
    gaps = tuple(
        (float((max(left, start) - start) * mm), float((min(right, end) - start) * mm), gap)
        for left, right, gap in _spans(wall)
        if left < end and right > start
    )
    width, middle = float((end - start) * mm), float((shown - wall.centre) * mm)
    return Drawing(wall, start, end, scale, width, float(shown * mm), middle, drawn, gaps)


def _spans(wall: PublicWall) -> Iterator[tuple[Fraction, Fraction, Fraction]]:
    """Each gap: from where to where on the wall, and how wide."""
    left = Fraction(0)
    for place, gap in enumerate(wall.gaps):
        yield left, left + gap, gap
        if place < len(wall.works):
            left += gap + wall.works[place].width


def _width(words: str, family: str, weight: int) -> float:
    return float(width_mm(words, (family, weight), _NAME))


def _heights(top: float, lower: float, label: Box | None) -> tuple[float, float]:
    """Where the lines with the heights of both edges begin: each at its edge, unless the other, or
    the label, lies there."""
    below = _beside_label(lower - _HIGH / 2, label)
    above = min(top - _HIGH / 2, below - _HIGH)
    if label and _lies_on(above, label):
        above = label[1] - _HIGH
    return above, below


def _beside_label(line: float, label: Box | None) -> float:
    """The line, or the place nearest to it that is above or below the label."""
    if label is None or not _lies_on(line, label):
        return line
    return min(label[1] - _HIGH, label[1] + label[3], key=lambda place: abs(place - line))


def _lies_on(line: float, label: Box) -> bool:
    return label[1] - _HIGH < line < label[1] + label[3]


def _drawn(wall: PublicWall, place: int, corner: tuple[Fraction, Fraction], mm: Fraction) -> Drawn:
    work, (start, shown) = wall.works[place], corner
    free = wall.gaps[place + 1]
    label = None
    if free >= LABEL[0] + 2 * BESIDE:
        left, top = work.left + work.width + BESIDE - start, shown - LABEL_AT - LABEL[1] / 2
        label = (float(left * mm), float(top * mm), float(LABEL[0] * mm), float(LABEL[1] * mm))
    edges = float((shown - work.top) * mm), float((shown - work.bottom) * mm)
    return Drawn(
        work, float((work.left - start) * mm), edges[0],
        float(work.width * mm), float(work.height * mm),
        (float((work.middle - start) * mm), float((shown - work.hook) * mm)),
        _heights(*edges, label) if free * mm >= _ROOM_FOR_WORDS else None, label,
    )  # fmt: skip
