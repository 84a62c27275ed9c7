"""Where works stand or hang, and beside what: by their kind and size.

In: a kind of work, sizes in cm, a language (doors differ). Out: a `Scene`: boxes in cm, x to the
right, y down; y 0 is the floor where there is one. Wall works hang with their middle 150 cm above
the floor (common practice of galleries is 145 to 155 cm), over a sofa 20 cm above its back; larger
ones as low as they must. Cloth that is worn or laid over something is drawn flat, beside a person.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from provenance.reference.beside import Beside, beside

Sides = tuple[float, float]  # width and height, cm
EYE_LEVEL, OVER_THE_BACK, LEAST_OVER_FLOOR = 150.0, 20.0, 8.0
TO_THE_HAND, TO_THE_SHEET, LONG, BROAD = 25.0, 80.0, 220.0, 100.0
_WORN = ("blanket", "throw", "shawl", "scarf", "garment")


@dataclass(frozen=True, slots=True)
class Box:
    """Upper left corner and sides, cm."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        return self.x + self.width

    @property
    def foot(self) -> float:
        return self.y + self.height


@dataclass(frozen=True, slots=True)
class Scene:
    """Where the works and the thing beside them are; `way` is how the works are met: hung, flat,
    lying, laid on it, on the seat; `has_floor` whether a floor is drawn."""

    works: tuple[Box, ...]
    thing: Beside
    at: Box
    way: str
    has_floor: bool = False


def thing_for(kind: str, sizes: Sequence[Sides]) -> str:
    """What works of a kind and of these sizes are drawn beside."""
    longest, many = max(max(size) for size in sizes), len(sizes) > 1
    if longest <= TO_THE_HAND:
        return "hand"
    if kind == "hanging":
        broad = sizes[0][0] > max(sizes[0][1], BROAD)
        return "sofa" if broad and not many else "door"
    if kind in _WORN:
        return "figure"
    laid = {"rug": "sofa_from_above", "runner": "table_from_above"}.get(kind)
    if laid and (kind == "rug" or not many):
        return laid
    return "sheet" if longest <= TO_THE_SHEET else "figure"


def scene(kind: str, sizes: Sequence[Sides], language: str, room: float = 0.0) -> Scene:
    """The scene of one or several works side by side, with so much room for each one's measures."""
    name = thing_for(kind, sizes)
    thing = beside(name, language)
    gap = max(0.12 * max(max(size) for size in sizes) + 2, room)
    if name == "sofa":
        return _over_the_sofa(sizes[0], thing)
    if name.endswith("_from_above"):
        return _on_the_floor(sizes, thing, gap)
    if name == "door":
        row = _in_a_row(sizes, lambda size: -_hung(size[1]) - size[1], gap)
        return Scene(row, thing, _next_to(row, thing, gap + 7), "hung", has_floor=True)
    turned = [(max(s), min(s)) if max(s) > LONG else s for s in sizes]
    row = _in_a_row(turned, lambda size: -size[1], gap)
    way = "flat" if name != "figure" else "upright" if turned == list(sizes) else "lying"
    return Scene(row, thing, _next_to(row, thing, gap), way, has_floor=name == "figure")


def _hung(high: float) -> float:
    """How far over the floor the lower edge is."""
    return max(EYE_LEVEL - high / 2, LEAST_OVER_FLOOR)


def _over_the_sofa(size: Sides, thing: Beside) -> Scene:
    (wide, high), (sofa, back) = size, _sides(thing)
    lower = max(back + OVER_THE_BACK, EYE_LEVEL - high / 2)
    work = Box((sofa - wide) / 2, -lower - high, wide, high)
    return Scene((work,), thing, Box(0, -back, sofa, back), "over", has_floor=True)


def _on_the_floor(sizes: Sequence[Sides], thing: Beside, gap: float) -> Scene:
    """Seen from above: rugs before the sofa, their long side along it; a runner on the table."""
    lying, (wide, deep) = [(max(size), min(size)) for size in sizes], _sides(thing)
    if thing.name == "table_from_above":
        long, broad = lying[0]
        work = Box((wide - long) / 2, (deep - broad) / 2, long, broad)
        return Scene((work,), thing, Box(0, 0, wide, deep), "on")
    row = _in_a_row(lying, lambda _: deep + 25, gap)
    return Scene(row, thing, Box((row[-1].right - wide) / 2, 0, wide, deep), "before")


def _in_a_row(sizes: Sequence[Sides], top: Callable[[Sides], float], gap: float) -> tuple[Box, ...]:
    row, at = [], 0.0
    for size in sizes:
        row.append(Box(at, top(size), *size))
        at += size[0] + gap
    return tuple(row)


def _next_to(row: Sequence[Box], thing: Beside, gap: float) -> Box:
    """To the right of a row, on the floor."""
    wide, high = _sides(thing)
    return Box(row[-1].right + gap, -high, wide, high)


def _sides(thing: Beside) -> Sides:
    return float(thing.width), float(thing.height)
