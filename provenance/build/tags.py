"""Hang-tags: which pieces get one, of which kind and size, and the sheets they are printed on.

In: the border and what is wished for. Out: a `TagRun`: the PDF, what printed.yaml is to keep, what
was left out or left off and why. Every word comes from the public facts of a piece.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from provenance.build.tags_due import (
    Note,
    last_printed,
    note_of,
    outlet_of,
    reason_against,
    why_due,
    words_for,
)
from provenance.papers.tags.form import Form, form_of
from provenance.papers.tags.sheets import Imposing, make_sheets
from provenance.papers.tags.typesetting import SetTag, set_tag
from provenance.papers.tags.words import TagWords, lacking
from provenance.press.codes.qr import CLEAR, Code, code_for
from provenance.press.letters import fonts
from provenance.problems import NOWHERE, Place, Problem, Said, Slip, Words
from provenance.public.border import Border
from provenance.records.lots import Outlet
from provenance.records.pieces import Piece
from provenance.records.printing import TAG_SIZE, own_shift, sheet_of, shift_of, size_of
from provenance.records.reading import Record
from provenance.records.text import Fields, Items, Written


@dataclass(frozen=True, slots=True)
class Wishes:
    """What is asked for. None: as the records have it; `from_cell` counts from 1."""

    numbers: tuple[str, ...] = ()
    outlet: str | None = None
    changed: bool = False
    from_cell: int = 1
    size: str | None = None
    sheet: str | None = None
    shift: str | None = None
    black: bool | None = None
    stub: bool | None = None


@dataclass(frozen=True, slots=True)
class TagRun:
    """Sheets of tags; `content` is empty when there was nothing to print."""

    content: bytes
    sheets: int
    tags: tuple[SetTag, ...]
    notes: tuple[Note, ...]
    left_out: tuple[tuple[str, Words], ...]
    problems: tuple[Problem, ...]

    @property
    def left_off(self) -> tuple[tuple[str, Words], ...]:
        """Number, and what its tag had no room for."""
        return tuple((tag.words.number, _left_off(tag)) for tag in self.tags if tag.left_off)


def _left_off(tag: SetTag) -> Said:
    return Said("left_off.all", what=tuple(Said(f"left_off.{word}") for word in tag.left_off))


@dataclass(slots=True)
class _Sorting:
    """Tags to print, and pieces without one, as they are gone through."""

    tags: list[SetTag] = field(default_factory=list)
    codes: dict[str, Code] = field(default_factory=dict)
    left_out: list[tuple[str, Words]] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


def print_tags(
    border: Border, wishes: Wishes, tell: Callable[[int, int], None] = lambda done, whole: None
) -> TagRun:
    """All tags asked for, on sheets; Slip when the wishes themselves cannot be met.

    `tell` is called with how many parts of how many are done.
    """
    how, sorting = _imposing(border, wishes), _Sorting()
    for piece in _asked_for(border, wishes):
        _sort(border, wishes, piece, sorting)
    notes = tuple(note_of(border, tag.words) for tag in sorting.tags)
    left = (tuple(sorting.left_out), tuple(sorting.problems))
    if not sorting.tags:
        return TagRun(b"", 0, (), (), *left)
    house = _speaking(border, wishes).house
    content, sheets = make_sheets(house, sorting.tags, sorting.codes, how, tell)
    return TagRun(content, sheets, tuple(sorting.tags), notes, *left)


def _speaking(border: Border, wishes: Wishes) -> Border:
    """In the language of the outlet asked for, else the studio's."""
    return border.speaking(border.studio.outlet(wishes.outlet)) if wishes.outlet else border


def _asked_for(border: Border, wishes: Wishes) -> Iterator[Piece]:
    """In the order of the numbers given, else in the order of the record book."""
    studio = border.studio
    if wishes.numbers:
        yield from (studio.piece(number).record for number in dict.fromkeys(wishes.numbers))
        return
    outlet = studio.outlet(wishes.outlet) if wishes.outlet else None
    for piece in studio.book.pieces.values():
        if outlet is None or is_at(piece, outlet):
            yield piece


def is_at(piece: Piece, outlet: Outlet) -> bool:
    """Whether it hangs there; what hangs nowhere is in the studio."""
    return str(piece.at) == str(outlet.name) if piece.at else outlet.kind == "studio"


def _sort(border: Border, wishes: Wishes, piece: Piece, into: _Sorting) -> None:
    number, book = str(piece.number), border.studio.book
    outlet = book.outlets[wishes.outlet] if wishes.outlet else outlet_of(book, piece)
    words = None
    why: Words = reason_against(book, piece, is_asked=bool(wishes.numbers))
    if not why:
        words = words_for(border, piece, outlet)
        why = _reason_in(border, words, only_changed=wishes.changed)
    if why or words is None:
        into.left_out.append((number, why))
    elif found := _unprintable(piece, words):
        into.problems.append(found)
    else:
        _set(border, wishes, (piece, words, outlet), into)


def _reason_in(border: Border, words: TagWords, *, only_changed: bool) -> Words:
    """Why its words are no tag: something is missing, or nothing has changed."""
    if missing := lacking(words):
        return Said("no_tag.lacks", fields=tuple(Said(f"tag_field.{word}") for word in missing))
    if only_changed:
        last = last_printed(border.studio, words.number)
        if not why_due(note_of(border, words), last):
            return Said("no_tag.unchanged")
    return ""


def _set(
    border: Border, wishes: Wishes, tag: tuple[Piece, TagWords, Outlet | None], into: _Sorting
) -> None:
    piece, words, outlet = tag
    try:
        form = _form(border, wishes, words, outlet, into.codes)
        keeps = "US" in border.house.markets
        into.tags.append(set_tag(words, form, keeps_origin=keeps))
    except Slip as slip:
        into.problems.append(Problem(piece.number.place, slip.what, slip.remedy))


def _form(
    border: Border, wishes: Wishes, words: TagWords, outlet: Outlet | None, codes: dict[str, Code]
) -> Form:
    own, modules = border.studio.file.tags, 0
    if words.has_code:
        code = codes[words.number] = code_for(border.house.site, words.number)
        modules = code.modules + 2 * CLEAR
    text = wishes.size or (outlet.tag_size if outlet else None) or own.tag_size
    width, height = size_of(str(text)) if text else TAG_SIZE
    return form_of(
        width, height, modules, has_stub=own.stub if wishes.stub is None else wishes.stub
    )


def _imposing(border: Border, wishes: Wishes) -> Imposing:
    own = border.studio.file.tags
    if wishes.from_cell < 1:
        raise Slip(Said("tag_slip.cell"), Said("tag_slip.first_cell"))
    return Imposing(
        sheet=sheet_of(wishes.sheet or str(own.sheet)),
        shift=own_shift(own) if wishes.shift is None else shift_of(wishes.shift),
        first=wishes.from_cell - 1,
        stack=own.stack,
        black=own.black_only if wishes.black is None else wishes.black,
        heading=_heading(_speaking(border, wishes), wishes.outlet),
    )


def _heading(border: Border, outlet: str | None) -> str:
    say, name = border.phrases.say, border.house.name
    if outlet is None:
        return say("tag.heading", studio=name)
    return say("tag.heading_for", studio=name, outlet=border.outlet(outlet).title)


def _unprintable(piece: Piece, words: TagWords) -> Problem | None:
    """A character of the tag that our letters lack, told where it is written."""
    for _, text in words.fields:
        for sign in sorted(fonts.missing_characters(fonts.printable(text))):
            place = _place_of(sign, piece) or piece.number.place
            what = Said("tag_slip.sign", sign=sign, code=f"{ord(sign):04X}")
            return Problem(place, what, Said("tag_slip.in_words"))
    return None


def _place_of(sign: str, record: object) -> Place | None:
    """The first place in a record where a character is written."""
    if isinstance(record, Written):
        return record.place if sign in record and record.place != NOWHERE else None
    inside: list[object] = []
    if isinstance(record, (Fields, dict)):
        inside = [*record.keys(), *record.values()]
    elif isinstance(record, (Items, list, tuple)):
        inside = list(record)
    elif isinstance(record, Record):
        inside = [getattr(record, name) for name in type(record).model_fields]
    return next((place for each in inside if (place := _place_of(sign, each))), None)
