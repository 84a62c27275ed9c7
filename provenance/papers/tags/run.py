"""Hang-tags: which pieces get one, of which kind and size, and the sheets they are printed on.

In: the setting and what is wished for. Out: a `TagRun`: the PDF, what printed.yaml is to keep,
what was left out or left off and why. Every word comes from the public facts of a piece (`facts`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction

from provenance.papers.tags.due import (
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
from provenance.papers.tags.words import TagWords, lacking, unprintable
from provenance.press.codes.qr import CLEAR, Code, code_for
from provenance.problems import Problem, Slip
from provenance.public.setting import Setting, outlet_title
from provenance.records.lots import Outlet
from provenance.records.pieces import Piece
from provenance.records.printing import TAG_SIZE, own_shift, sheet_of, shift_of, size_of


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
    left_out: tuple[tuple[str, str], ...]
    problems: tuple[Problem, ...]

    @property
    def left_off(self) -> tuple[tuple[str, str], ...]:
        """Number, and what its tag had no room for."""
        return tuple(
            (tag.words.number, ", ".join(tag.left_off)) for tag in self.tags if tag.left_off
        )


@dataclass(slots=True)
class _Sorting:
    """Tags to print, and pieces without one, as they are gone through."""

    tags: list[SetTag] = field(default_factory=list)
    codes: dict[str, Code] = field(default_factory=dict)
    left_out: list[tuple[str, str]] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


def print_tags(
    setting: Setting, wishes: Wishes, tell: Callable[[int, int], None] = lambda done, whole: None
) -> TagRun:
    """All tags asked for, on sheets; Slip when the wishes themselves cannot be met.

    `tell` is called with how many parts of how many are done.
    """
    how = _imposing(setting, wishes)
    sorting = _Sorting()
    for piece in _asked_for(setting, wishes):
        _sort(setting, wishes, piece, sorting)
    notes = tuple(note_of(setting, tag.words) for tag in sorting.tags)
    left = (tuple(sorting.left_out), tuple(sorting.problems))
    if not sorting.tags:
        return TagRun(b"", 0, (), (), *left)
    made = make_sheets(setting, sorting.tags, sorting.codes, how, tell)
    return TagRun(made.content, made.count, tuple(sorting.tags), notes, *left)


def _asked_for(setting: Setting, wishes: Wishes) -> Iterator[Piece]:
    """In the order of the numbers given, else in the order of the record book."""
    pieces = setting.book.pieces
    if wishes.numbers:
        yield from (pieces[number] for number in dict.fromkeys(wishes.numbers))
        return
    for piece in pieces.values():
        if wishes.outlet is None or _is_at(setting, piece, wishes.outlet):
            yield piece


def _is_at(setting: Setting, piece: Piece, outlet: str) -> bool:
    """Whether it hangs there; what hangs nowhere is in the studio."""
    if piece.at:
        return str(piece.at) == outlet
    return setting.book.outlets[outlet].kind == "studio"


def _sort(setting: Setting, wishes: Wishes, piece: Piece, into: _Sorting) -> None:
    number = str(piece.number)
    outlet = _outlet(setting, wishes, piece)
    against = reason_against(setting.book, piece, is_asked=bool(wishes.numbers))
    if against:
        into.left_out.append((number, against))
        return
    words = words_for(setting, piece, outlet)
    if missing := lacking(words):
        into.left_out.append((number, f"the record does not say its {' or its '.join(missing)}"))
        return
    last = last_printed(setting.book).get(number)
    if wishes.changed and not why_due(note_of(setting, words), last):
        into.left_out.append((number, "unchanged since it was printed"))
        return
    if found := unprintable(piece, words):
        sign, place = found
        into.problems.append(
            Problem(place, f"our letters have no '{sign}' (U+{ord(sign):04X})", "write it in words")
        )
        return
    form = _form(setting, wishes, words, outlet, into.codes)
    try:
        into.tags.append(set_tag(words, form, keeps_origin="US" in setting.book.studio.labels_for))
    except Slip as slip:
        into.problems.append(Problem(piece.number.place, slip.what, slip.remedy))


def _outlet(setting: Setting, wishes: Wishes, piece: Piece) -> Outlet | None:
    """Whose tag it is to be: the outlet asked for, else where the piece is."""
    if wishes.outlet is not None:
        return setting.book.outlets[wishes.outlet]
    return outlet_of(setting.book, piece)


def _form(
    setting: Setting,
    wishes: Wishes,
    words: TagWords,
    outlet: Outlet | None,
    codes: dict[str, Code],
) -> Form:
    studio = setting.book.studio
    modules = 0
    if words.has_code:
        code = codes[words.number] = code_for(str(studio.site), words.number)
        modules = code.modules + 2 * CLEAR
    width, height = _size(setting, wishes, outlet)
    has_stub = studio.tags.stub if wishes.stub is None else wishes.stub
    return form_of(width, height, modules, has_stub=has_stub)


def _size(setting: Setting, wishes: Wishes, outlet: Outlet | None) -> tuple[Fraction, Fraction]:
    """Width and height: as asked for, as the outlet wants it, as the studio has it, or ours."""
    own = outlet.tag_size if outlet else None
    text = wishes.size or own or setting.book.studio.tags.tag_size
    return size_of(str(text)) if text else TAG_SIZE


def _imposing(setting: Setting, wishes: Wishes) -> Imposing:
    own = setting.book.studio.tags
    if wishes.from_cell < 1:
        raise Slip("cells count from 1", "the first cell is at the top left")
    shift = own_shift(own) if wishes.shift is None else shift_of(wishes.shift)
    return Imposing(
        sheet=sheet_of(wishes.sheet or str(own.sheet)),
        shift=shift,
        first=wishes.from_cell - 1,
        stack=own.stack,
        black=own.black_only if wishes.black is None else wishes.black,
        heading=_heading(setting, wishes),
    )


def _heading(setting: Setting, wishes: Wishes) -> str:
    studio = str(setting.book.studio.studio)
    if wishes.outlet is None:
        return setting.phrases.say("tag.heading", studio=studio)
    place = outlet_title(setting.book.outlets[wishes.outlet])
    return setting.phrases.say("tag.heading_for", studio=studio, outlet=place)
