"""Works to scale beside a door, a sofa, a person, a hand: an SVG whose unit is a centimetre.

In: works (sides in cm, stripes), their kind, the phrases. Out: a `Drawing`: the SVG, its
words for those who can't see it, the sides of the view in cm. Each work is filled with the
stripes of its edge, never with its own picture: a photo shows the wall as well. Lines and
words take the colour of the text around, and print black.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from html import escape

from provenance.language.measures import inches
from provenance.language.phrases import Phrases
from provenance.press.drawings.scale.compared import compared, length
from provenance.press.drawings.scale.placing import Box, Scene, scene
from provenance.press.drawings.scale.things import CHAIRS, shapes
from provenance.press.drawings.selvedge import bar_svg
from provenance.public.edge import Stripe
from provenance.reference.beside import beside

# Height of the letters: a share of the view's width, or of its height where that is more, so that
# they can be read on a phone; a paper asks for smaller ones.
LETTERS = 0.042
_OF_HEIGHT = 0.75
_ROOM = 3.2  # for two lines of words and a measure, in letters
_UNDER = ("before", "on")  # the measure across stands under the work
_THIN = 'vector-effect="non-scaling-stroke" stroke-width="1"'
_STEP = 20  # cm on each side of a person before a wall
_QUIET = 'fill="none" stroke="currentColor" stroke-linejoin="round" stroke-linecap="round"'


@dataclass(frozen=True, slots=True)
class ToScale:
    """A work that is drawn: its sides in cm, its yarns as stripes."""

    height: Fraction
    width: Fraction
    stripes: tuple[Stripe, ...] = ()


@dataclass(frozen=True, slots=True)
class Drawing:
    """The SVG, its words, and the sides of its view in the works' own centimetres."""

    svg: str
    words: str
    width: float
    height: float


def scale_drawing(
    works: Sequence[ToScale], kind: str, phrases: Phrases, *, black: bool = False,
    letters: float = LETTERS,
) -> Drawing:  # fmt: skip
    """One work, or the sizes of a choice side by side, beside what fits their kind and size.

    `kind` is the record's word (`hanging`, `rug`); `black` hatches the yarns; `letters` is the
    height of the letters as a share of the view.
    """
    sides = [(float(work.width), float(work.height)) for work in works]
    seen = scene(kind, sides, phrases.language)
    for _ in range(3):  # larger gaps make a wider view, and that larger letters
        size = _letters(seen, letters)
        seen = scene(kind, sides, phrases.language, _ROOM * size)
    view, pen = _view(seen, size), size / 18
    parts = [f'<path d="M{view.x:.3f} 0H{view.right:.3f}"/>'] if seen.has_floor else []
    parts.append(_thing(seen, pen))
    for work, box in zip(works, seen.works, strict=True):
        parts.append(_cloth(work, box, black=black))
        parts += _measures(box, _edges(seen, box, size), phrases, size)
    words = compared(works, seen, phrases)
    return Drawing(_svg(view, size, words, parts), words, view.width, view.height)


def measure_drawing(name: str, phrases: Phrases) -> Drawing:
    """A thing by itself, a unit a centimetre: the measure for works that stand around it. Its
    lines are a pixel at any size."""
    thing = beside(name, phrases.language)
    wide, high = float(thing.width), float(thing.height)
    words = phrases.say(f"scale.{name}", width=length(thing.width, phrases),
                        height=length(thing.height, phrases))  # fmt: skip
    drawn = f'<g class="thing">{shapes(thing)}</g>'.replace("<path ", f"<path {_THIN} ")
    return Drawing(_svg(Box(0, 0, wide, high), 16.0, words, [drawn]), words, wide, high)


@dataclass(frozen=True, slots=True)
class Hanging(ToScale):
    """A work on a wall, in cm: its left edge from the wall's left end, its foot over the floor."""

    left: Fraction = Fraction(0)
    foot: Fraction = Fraction(0)


def wall_drawing(
    width: Fraction, height: Fraction, works: Sequence[Hanging], words: str, *, beside_person: bool
) -> Drawing:
    """A wall with its works, and a person before its left end; cm. Without letters, and its lines a
    pixel at any size."""
    person = beside("figure", "")
    room, high = (float(person.width) + 2 * _STEP if beside_person else 0.0), float(height)
    wide = room + float(width)
    parts = [f'<path {_THIN} d="M0 0H{wide:g}M{room:g} 0V{-high:g}M{wide:g} 0V{-high:g}"/>']
    if beside_person:
        at, drawn = f"translate({_STEP} {-float(person.height):g})", shapes(person)
        drawn = drawn.replace("<path ", f"<path {_THIN} ")
        parts.append(f'<g class="thing" transform="{at}">{drawn}</g>')
    for work in works:
        top = -float(work.foot + work.height)
        box = Box(room + float(work.left), top, float(work.width), float(work.height))
        cloth = _cloth(work, box, black=False)
        parts.append(cloth.replace("<rect class", f"<rect {_THIN} class"))
    view = Box(-1, -high - 1, wide + 2, high + 2)
    return Drawing(_svg(view, 16.0, words, parts), words, view.width, view.height)


def _letters(seen: Scene, share: float) -> float:
    """The height of the letters: of the view with its margins, which are as high as some lines."""
    left, top, right, foot = _ends(seen)
    return max(
        share * (right - left) / (1 - (_ROOM + 0.6) * share),
        share * _OF_HEIGHT * (foot - top) / (1 - (_ROOM + 0.8) * share * _OF_HEIGHT),
    )


def _view(seen: Scene, size: float) -> Box:
    """All that is drawn, with its measures."""
    left, top, right, foot = _ends(seen)
    under = seen.way in _UNDER
    left, right = left - _ROOM * size, right + 0.6 * size
    top, foot = top - (0.4 if under else _ROOM) * size, foot + (_ROOM if under else 0.8) * size
    return Box(left, top, right - left, foot - top)


def _ends(seen: Scene) -> tuple[float, float, float, float]:
    """Left, top, right and foot of works and thing; a frame and chairs reach beyond theirs."""
    boxes = (*seen.works, seen.at)
    frame = 7.0 if seen.thing.name == "door" else 0.0
    chairs = CHAIRS if seen.way == "on" else 0.0
    foot = max(box.foot for box in boxes) + chairs
    return (
        min(box.x for box in boxes),
        min(min(box.y for box in seen.works), seen.at.y - frame - chairs),
        max(max(box.right for box in seen.works), seen.at.right + frame),
        max(0.0, foot) if seen.has_floor else foot,
    )


def _thing(seen: Scene, pen: float) -> str:
    at = f'transform="translate({seen.at.x:.3f} {seen.at.y:.3f})"'
    return f'<g class="thing" {at} stroke-width="{pen:.3f}">{shapes(seen.thing)}</g>'


def _cloth(work: ToScale, box: Box, *, black: bool) -> str:
    """The work: its stripes, one under another as it hangs, and its outline."""
    sides = f'width="{box.width:g}" height="{box.height:g}"'
    lies_turned = box.width != float(work.width)
    filled = ""
    if work.stripes:
        drawn = bar_svg(work.stripes, box.width, box.height, upright=not lies_turned, black=black)
        inside = drawn.decode().partition(">")[2].removesuffix("</svg>")
        filled = f'<g stroke="none">{inside}</g>'
    return (
        f'<g class="work" transform="translate({box.x:.3f} {box.y:.3f})">{filled}'
        f'<rect class="outline" {sides}/></g>'
    )


def _edges(seen: Scene, box: Box, size: float) -> tuple[float, float, bool]:
    """Where the measures of a work stand: x of the upright one, y of the level one, and whether
    that is over the work; on a table beyond its edge."""
    off = 0.55 * size
    if seen.way == "on":
        return min(box.x, seen.at.x) - off, seen.at.foot + CHAIRS + off, False
    is_over = seen.way not in _UNDER
    return box.x - off, box.y - off if is_over else box.foot + off, is_over


def _measures(
    box: Box, edges: tuple[float, float, bool], phrases: Phrases, size: float
) -> Iterator[str]:
    """Two lines with ticks at their ends, beside each its length in both units."""
    (x, y, is_over), tick = edges, 0.3 * size
    ticks = "".join(
        f"M{at:.3f} {y - tick:.3f}v{2 * tick:.3f}" for at in (box.x, box.right)
    ) + "".join(f"M{x - tick:.3f} {at:.3f}h{2 * tick:.3f}" for at in (box.y, box.foot))
    lines = f"M{box.x:.3f} {y:.3f}H{box.right:.3f}M{x:.3f} {box.y:.3f}V{box.foot:.3f}"
    yield f'<path class="measure" d="{lines}{ticks}"/>'
    across, down = (_exact(side) for side in (box.width, box.height))
    first = y - 1.6 * size if is_over else y + 1.15 * size
    for turn, said in enumerate(lengths(across, phrases)):
        yield _text(box.x + box.width / 2, first + 1.1 * turn * size, said)
    for turn, said in enumerate(lengths(down, phrases)):
        yield _text(x - (1.6 - 1.1 * turn) * size, box.y + box.height / 2, said, turned=True)


def _exact(side: float) -> Fraction:
    return Fraction(side).limit_denominator(1000)


def lengths(side: Fraction, phrases: Phrases) -> tuple[str, str]:
    """A length in cm and in inches, as the studio writes its sizes, its own unit first."""
    metric, imperial = f"{phrases.number(side, 1)} cm", f"{inches(side)} in"
    return (imperial, metric) if phrases.is_american else (metric, imperial)


def _text(x: float, y: float, said: str, *, turned: bool = False) -> str:
    turn = f' transform="rotate(-90 {x:.2f} {y:.2f})"' if turned else ""
    return f'<text x="{x:.2f}" y="{y:.2f}"{turn}>{escape(said)}</text>'


def _svg(view: Box, size: float, words: str, parts: Sequence[str]) -> str:
    box = f"{view.x:.3f} {view.y:.3f} {view.width:.3f} {view.height:.3f}"
    styled = f'{_QUIET} stroke-width="{size / 18:.3f}" font-size="{size:.3f}" text-anchor="middle"'
    drawn = "".join(parts).replace("<text ", '<text fill="currentColor" stroke="none" ')
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{escape(words)}" '
        f'viewBox="{box}" width="{view.width:.3f}" height="{view.height:.3f}" {styled} '
        f"font-family=\"'Studio Sans','Studio Serif'\">{drawn}</svg>"
    )
