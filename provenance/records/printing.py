"""How papers are measured: sheets by name or size, tags by size, what the printer shifts.

In: text such as `A4`, `2 x 3.5 in`, `1.5 mm right`. Out: millimetres, exact, or a Slip. Sheets are
those of ISO 216 and of North America (ANSI/ASME Y14.1; Legal from memory). Also the words a
guild's list of tag fields may hold. `check_printing` holds a studio's records against all of it.
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from provenance.problems import Problem, Said, Slip, did_you_mean, row
from provenance.records import quantities as q
from provenance.records.book import Book
from provenance.records.studio import Printing
from provenance.records.text import Written

SHEETS = {
    "A3": ("297", "420"),
    "A4": ("210", "297"),
    "A5": ("148", "210"),
    "A6": ("105", "148"),
    "Letter": ("215.9", "279.4"),
    "Legal": ("215.9", "355.6"),
    "Tabloid": ("279.4", "431.8"),
}
TAG_SIZE = (Fraction(55), Fraction(90))
TAG_FIELDS = (
    "number", "title", "kind", "structure", "size", "weight", "fibres", "fleece", "dyes", "care",
    "light", "price", "edition", "year", "maker", "studio", "place", "origin", "code",
)  # fmt: skip
SPELLINGS = {"fibre": "fibres", "fiber": "fibres", "fibers": "fibres", "fibre content": "fibres"}
SPELLINGS |= {"name": "title", "dye": "dyes", "cloth": "structure"}
MOST_SHIFT = 10
_CROSS = re.compile(r"\s*[x×]\s*|\s+by\s+")
_PARTS = re.compile(r"\s*(?<![0-9]),\s*|\s*,(?![0-9])\s*|\s+and\s+")  # no decimal comma
_DIRECTIONS = {"right": (1, 0), "left": (-1, 0), "down": (0, 1), "up": (0, -1)}


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of paper in millimetres; one known by name may be turned."""

    width: Fraction
    height: Fraction
    may_turn: bool
    name: str


def sheet_of(text: str) -> Sheet:
    """A sheet by its name, or by `width x height`; a size in numbers is taken as it stands."""
    named = {name.lower(): name for name in SHEETS}.get(text.strip().lower())
    if named:
        width, height = (Fraction(side) for side in SHEETS[named])
        return Sheet(width, height, may_turn=True, name=named)
    if not re.search(r"\d.*(x|×|by).*\d", text):
        remedy = Said("sheet_size.or_size", near=did_you_mean(text, SHEETS))
        raise Slip(Said("sheet_size.no_sheet", text=text), remedy)
    width, height = size_of(text)
    return Sheet(width, height, may_turn=False, name=text.strip())


def size_of(text: str) -> tuple[Fraction, Fraction]:
    """Width and height in millimetres, from `55 x 90 mm` or `2 x 3.5 in`."""
    parts = [part for part in _CROSS.split(text.strip()) if part]
    unit = re.search(r"[A-Za-z\"]+\s*$", parts[-1]) if parts else None
    if len(parts) != 2 or not unit:
        raise Slip(Said("amount.size", text=text), Said("sheet_size.width_height"))
    sides = [part if re.search(r"[A-Za-z\"]\s*$", part) else f"{part} {unit[0]}" for part in parts]
    width, height = (_millimetres(side) for side in sides)
    if not width or not height:
        raise Slip(Said("amount.size_nothing", text=text), Said("sheet_size.write_size"))
    return width, height


def shift_of(text: str) -> tuple[Fraction, Fraction]:
    """What the printer is to be shifted by, right and down in millimetres: `1.5 mm right, 1 mm up`.

    Slip beyond 10 mm: no printer is as far out as that.
    """
    right = down = Fraction(0)
    for part in _PARTS.split(text.strip()):
        found = re.fullmatch(r"(.+?)\s+(right|left|down|up)", part)
        if not found:
            raise Slip(Said("sheet_size.no_shift", text=part), Said("sheet_size.write_shift"))
        length, (across, along) = _millimetres(found[1]), _DIRECTIONS[found[2]]
        right, down = right + length * across, down + length * along
    return _bounded(right, down)


def own_shift(printing: Printing) -> tuple[Fraction, Fraction]:
    """The shift that stands in the studio file, right and down in millimetres."""
    right = Fraction(printing.shift_right or 0) - Fraction(printing.shift_left or 0)
    down = Fraction(printing.shift_down or 0) - Fraction(printing.shift_up or 0)
    return _bounded(right * 10, down * 10)


def tag_field(word: str) -> str:
    """The field a guild's word means; Slip with the nearest one when it means none."""
    plain = " ".join(word.lower().replace("-", " ").split())
    field = SPELLINGS.get(plain, plain)
    if field not in TAG_FIELDS:
        fields = Said("sheet_size.fields", words=row(TAG_FIELDS))
        near = did_you_mean(plain, (*TAG_FIELDS, *SPELLINGS)) or fields
        raise Slip(Said("sheet_size.no_field", word=word), near)
    return field


def check_printing(book: Book) -> Iterator[Problem]:
    """Sizes, sheet and shift of the studio, tag sizes and tag fields of the outlets."""
    own = book.studio.tags
    yield from _tried(size_of, own.tag_size)
    yield from _tried(sheet_of, own.sheet)
    shifts = (own.shift_right, own.shift_down, own.shift_left, own.shift_up)
    if shifted := next(filter(None, shifts), None):
        yield from _tried(lambda _: own_shift(own), Written("", shifted.place))
    for outlet in book.outlets.values():
        yield from _tried(size_of, outlet.tag_size)
        for field in outlet.tag_fields:
            yield from _tried(tag_field, field)


def _tried(read: Callable[[Any], object], text: Written | None) -> Iterator[Problem]:
    if text is None:
        return
    try:
        read(text)
    except Slip as slip:
        yield Problem(text.place, slip.what, slip.remedy)


def _bounded(right: Fraction, down: Fraction) -> tuple[Fraction, Fraction]:
    if max(abs(right), abs(down)) > MOST_SHIFT:
        raise Slip(Said("sheet_size.far_shift", most=MOST_SHIFT), Said("sheet_size.measure_again"))
    return right, down


def _millimetres(text: str) -> Fraction:
    """A comma between digits can only be a decimal one here."""
    has_comma = bool(re.search(r"[0-9],[0-9]", text))
    return q.Centimetres.read(text, q.Habits(decimal_comma=has_comma)) * 10
