"""What a certificate's two pages have room for, measured in the letters they are set in.

In: what is said, the sheet. Out: sizes for the front (photo, title, statement) and for the record
overleaf, so that one laying out is enough; a closer `notch` each time that it was not. All measures
are millimetres, all letters points. Photo and statement keep their size as long as they can.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import product

from provenance.papers.certificates.certificate import Certificate
from provenance.papers.certificates.object_id import Row
from provenance.papers.format import Format
from provenance.press.letters.faces import SANS, SERIF
from provenance.press.letters.measure import POINT, lines_of

MARGINS_MM = (Fraction(48), Fraction(29))  # of both sides, of head and foot
LABELS_MM = Fraction(36)
COLUMN_GAP_MM = Fraction(8)
BESIDE_MM = Fraction(7)
HAND_MM = Fraction(102)  # room for the signature, left of the code
SMALL = Fraction(8)
_PLAIN, _SERIF, _LIGHT = (SANS, 400), (SERIF, 400), (SANS, 300)
_TITLES = tuple(map(Fraction, (42, 36, 30, 25, 20, 16)))
_NUMBERS = tuple(map(Fraction, (30, 24, 18, 13, 10)))
_STATEMENTS = tuple(map(Fraction, (14, 13, 12, 11, 10, 9, 8)))
_PHOTOS_HIGH = tuple(map(Fraction, (136, 124, 112, 104, 96, 90, 75, 60, 48)))
_PHOTO_WIDE, _PHOTO_LYING = Fraction(90), Fraction(162)
_BODIES = tuple(map(Fraction, ("9", "8.75", "8.5", "8.25", "8")))
ALL_LOTS, NO_DRAWING = 99, 0
_LOTS = (16, 10, 6)
_LEAST_BESIDE_MM = 52
# Letters that a text may have where all do not fit.
SHORTENED = (2600, 2000, 1500, 1100, 600, 400, 250, 160, 100)


@dataclass(frozen=True, slots=True)
class Front:
    """How the page for the wall is set: points of title, number and statement; the photo's sides,
    0 for none; the height kept for the hand and the code at its foot; `most` as in `Record`."""

    title: Fraction
    number: Fraction
    statement: Fraction
    photo: tuple[Fraction, Fraction]
    is_beside: bool
    foot: Fraction
    most: int = 0


@dataclass(frozen=True, slots=True)
class Record:
    """How the page overleaf is set: points of its letters, how many lots are drawn (0: none).

    `is_split` says whether light and care stand side by side, `most` how many letters a text may
    have, 0 for all of them.
    """

    body: Fraction
    lots: int = ALL_LOTS
    is_split: bool = True
    most: int = 0

    @property
    def air(self) -> Fraction:
        """The unit of white, in points: it shrinks faster than the letters."""
        return 9 - (9 - self.body) * 4

    @property
    def leading(self) -> Fraction:
        """From line to line, in letters."""
        return Fraction("1.38") - (9 - self.body) / 10


@dataclass(frozen=True)
class Room:
    """The sheet's room for words: width and height inside its margins."""

    width: Fraction
    height: Fraction

    @classmethod
    def on(cls, sheet: Format) -> "Room":
        """Of A4 or Letter."""
        wide, high = (Fraction(str(side)) for side in sheet.size_mm)
        return cls(wide - MARGINS_MM[0], high - MARGINS_MM[1])


Face = tuple[str, int]


def high(text: str, face: Face, size: Fraction, leading: Fraction, room: Fraction) -> Fraction:
    """How high a text is in a column."""
    return len(lines_of(text, face, size, room)) * size * leading * POINT if text else Fraction(0)


def fronts(it: Certificate, room: Room, shape: Fraction, foot: Sequence[str]) -> Iterator[Front]:
    """Ways of setting the front, the best that has room first, the closest last, whether it has
    room or not; `shape` is the photo's width by its height, 0 without one; `foot` the small lines
    below the signature."""
    photos = _PHOTOS_HIGH if shape else _PHOTOS_HIGH[:1]
    ways = [*product((0,), _STATEMENTS, photos)]
    ways += [(most, _STATEMENTS[-1], photos[-1]) for most in SHORTENED]
    for place, (most, statement, most_high) in enumerate(ways, 1):
        said = brief(it, most)
        front = _front(said, room, _photo(shape, most_high), statement)
        front = replace(front, foot=_foot(said, foot), most=most)
        height = _head(said, room) + _body(said, front, room) + front.foot
        if height <= room.height or place == len(ways):
            yield front


def brief(it: Certificate, most: int) -> Certificate:
    """What stands on the front, no text longer than so many letters; 0 for all of it."""
    if not most:
        return it
    return replace(
        it,
        title=shortened(it.title, most),
        maker=shortened(it.maker, most),
        place=shortened(it.place, most),
        studio=shortened(it.studio, most),
        statement=shortened(it.statement, most),
        facts=tuple(shortened(line, most) for line in it.facts),
    )


def _front(
    it: Certificate, room: Room, photo: tuple[Fraction, Fraction], statement: Fraction
) -> Front:
    title = _largest(it.title, _SERIF, _TITLES, room.width, 2)
    beside = bool(photo[0]) and room.width - photo[0] - BESIDE_MM >= _LEAST_BESIDE_MM
    column = room.width - photo[0] - BESIDE_MM if beside else room.width
    number = _largest(it.number, _LIGHT, _NUMBERS, column, 1)
    return Front(title, number, statement, photo, beside, Fraction(0))


def _photo(shape: Fraction, most_high: Fraction) -> tuple[Fraction, Fraction]:
    """Its sides, whole: 90 mm wide, or more where it lies."""
    if not shape:
        return Fraction(0), Fraction(0)
    wide = min(_PHOTO_LYING if shape > 1 else _PHOTO_WIDE, most_high * shape)
    return wide, wide / shape


def _largest(
    text: str, face: Face, sizes: Sequence[Fraction], room: Fraction, lines: int
) -> Fraction:
    fitting = (size for size in sizes if len(lines_of(text, face, size, room)) <= lines)
    return next(fitting, sizes[-1])


def _head(it: Certificate, room: Room) -> Fraction:
    return (
        high(f"{it.studio}, {it.place}", _PLAIN, Fraction(9), Fraction("1.35"), room.width - 76)
        + 10
    )


def _foot(it: Certificate, lines: Sequence[str]) -> Fraction:
    named = high(it.maker, _PLAIN, Fraction(10), Fraction("1.3"), HAND_MM)
    dated = high(f"{it.place}, 30 September 2026", _PLAIN, Fraction(10), Fraction("1.3"), HAND_MM)
    small = sum(high(line, _PLAIN, SMALL, Fraction("1.35"), HAND_MM) for line in lines)
    return max(Fraction(30), 15 + named + dated + 3 + small)


def _body(it: Certificate, front: Front, room: Room) -> Fraction:
    """Photo with its facts, title, maker, statement, and the white between them."""
    column = room.width - front.photo[0] - BESIDE_MM if front.is_beside else room.width
    facts = sum(high(line, _PLAIN, Fraction(11), Fraction("1.34"), column) + 1 for line in it.facts)
    number = front.number * POINT * Fraction("1.2")
    words = facts + number + 4
    shown = max(front.photo[1], words) if front.is_beside else front.photo[1] + words + 5
    title = high(it.title, _SERIF, front.title, Fraction("1.12"), room.width)
    maker = high(it.maker, _PLAIN, Fraction(13), Fraction("1.3"), room.width)
    kind = high(it.kind_line, _PLAIN, Fraction(11), Fraction("1.34"), room.width)
    told = high(it.statement, _SERIF, front.statement, Fraction("1.36"), room.width)
    return shown + title + maker + kind + told + 22


def records(
    it: Certificate, room: Room, prose: Sequence[str], drawn: Callable[[int], Fraction]
) -> Iterator[Record]:
    """Ways of setting the record, the largest letters that have room first, and closer ones after
    it, the closest last, whether it has room or not; `drawn` is how high the drawing of so many
    lots is, `prose` its parts: light, care, sources, which run on below in the smallest letters."""
    ways = [Record(body) for body in _BODIES]
    ways += [Record(_BODIES[-1], lots) for lots in (*_LOTS, NO_DRAWING)]
    ways += [Record(_BODIES[-1], NO_DRAWING, most=most) for most in SHORTENED]
    for place, way in enumerate(ways, 1):
        beside, below = _beside(way, prose, room), _below(way, prose, room)
        found = replace(way, is_split=beside <= below)
        height = _record_high(it, found, room, prose) + drawn(found.lots)
        if height <= room.height or place == len(ways):
            yield found


def _beside(way: Record, prose: Sequence[str], room: Room) -> Fraction:
    """How high light and care are in two columns."""
    return max(_told(way, text, (room.width - COLUMN_GAP_MM) / 2) for text in prose[:2])


def _below(way: Record, prose: Sequence[str], room: Room) -> Fraction:
    """How high they are one below the other."""
    return sum((_told(way, text, room.width) for text in prose[:2]), Fraction(0))


def _told(way: Record, text: str, column: Fraction, size: Fraction = Fraction(0)) -> Fraction:
    """A heading with its words, and the white above and below."""
    if not text:
        return Fraction(0)
    words = high(shortened(text, way.most), _PLAIN, size or way.body, way.leading, column)
    return words + way.body * way.leading * POINT + way.air * POINT * Fraction("1.5")


def _record_high(it: Certificate, way: Record, room: Room, prose: Sequence[str]) -> Fraction:
    """All of it but the drawing itself."""
    rows = sum(_row_high(row, way, room) for row in it.record) + 2 * _line(way)
    columns = _beside(way, prose, room) if way.is_split else _below(way, prose, room)
    sources = _told(way, prose[2], room.width, SMALL)
    heading = _line(way) + way.air * POINT * 2 if way.lots else Fraction(0)
    note = 2 * _line(way) if way.most else Fraction(0)
    return 11 + rows + heading + columns + sources + note + way.air * POINT


def _row_high(row: Row, way: Record, room: Room) -> Fraction:
    told = sum(
        high(shortened(line, way.most), _PLAIN, way.body, way.leading, room.width - LABELS_MM)
        for line in together(row.lines)
    )
    return told + way.air * POINT * Fraction("0.3")


def _line(way: Record) -> Fraction:
    return way.body * way.leading * POINT + way.air * POINT * Fraction("0.3")


def together(lines: Sequence[str], most: int = 4) -> tuple[str, ...]:
    """Lines one below another; many of them run on."""
    return tuple(lines) if len(lines) <= most else ("; ".join(lines),)


def shortened(text: str, most: int) -> str:
    """The text as far as so many letters go, to the end of a word; 0 for all of it."""
    if not most or len(text) <= most:
        return text
    return f"{text[:most].rpartition(' ')[0] or text[:most]} …"
