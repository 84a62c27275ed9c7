"""Hang-tags: which pieces get one, of which kind and size, printed on sheets, filed and noted.

In: the border and what is wished for. Out: a `TagRun`: the PDF, what printed.yaml is to keep, what
was left out or left off and why. Every word comes from the public facts of a piece.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from pathlib import Path

from provenance.build.counts import is_at, items_for
from provenance.build.doubts import refuse_doubt
from provenance.build.filing import file_paper
from provenance.build.ledger import begin_printing, catch_up, note_printed
from provenance.build.start_words import hold_back
from provenance.build.tags_due import (
    Note,
    note_at,
    note_lines,
    note_of,
    places_of,
    reason_against,
    why_due,
    words_for,
)
from provenance.build.witnesses import tells_more
from provenance.papers.tags.finishing import join_papers, rendered
from provenance.papers.tags.form import form_of, most_modules
from provenance.papers.tags.paper import Paper
from provenance.papers.tags.sheets import Coded, Imposing, coded, lay_papers
from provenance.papers.tags.typesetting import SetTag, set_tag
from provenance.papers.tags.words import TagWords
from provenance.press.codes.qr import CLEAR, Code, code_for
from provenance.press.letters import fonts
from provenance.problems import NOWHERE, Place, Problem, Said, Slip, Words
from provenance.public.border import Border
from provenance.records.lots import Outlet
from provenance.records.pieces import Piece
from provenance.records.printing import TAG_SIZE, Sheet, own_shift, sheet_of, size_of
from provenance.records.reading import Record
from provenance.records.text import Fields, Items, Written
from provenance.studio import Studio


@dataclass(frozen=True, slots=True)
class Wishes:
    """What is asked for, in millimetres. None: as the records have it; `from_cell` is from 1."""

    numbers: tuple[str, ...] = ()
    outlet: str | None = None
    changed: bool = False
    from_cell: int = 1
    size: tuple[Fraction, Fraction] | None = None
    sheet: Sheet | None = None
    shift: tuple[Fraction, Fraction] | None = None
    black: bool | None = None
    stub: bool | None = None


@dataclass(slots=True)
class TagRun:
    """Sheets of tags, and pieces without one; no `content` when there was nothing to print."""

    content: bytes = b""
    papers: list[Paper] = field(default_factory=list)
    tags: list[SetTag] = field(default_factory=list)
    codes: dict[Coded, Code] = field(default_factory=dict)
    notes: list[Note] = field(default_factory=list)
    left_out: list[tuple[str, Words]] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    @property
    def sheets(self) -> int:
        """How many sheets they take."""
        return sum(paper.sheets for paper in self.papers)

    @property
    def left_off(self) -> tuple[tuple[str, Words], ...]:
        """Number, and what its tag had no room for; once, however many tags it has."""
        found = ((tag.words.number, _left_off(tag)) for tag in self.tags if tag.left_off)
        return tuple(dict.fromkeys(found))


def _left_off(tag: SetTag) -> Said:
    return Said("left_off.all", what=tuple(Said(f"left_off.{word}") for word in tag.left_off))


def file_tags(
    border: Border, wishes: Wishes, tell: Callable[[int, int], None]
) -> tuple[TagRun, Path]:
    """Print tags, write them into papers/ and note them, where there are any.

    The file is written first: a run that is killed between the two leaves the tags due.
    """
    refuse_doubt(border.studio.book)
    hold_back(border.studio, "studio", "pieces")
    catch_up(border.house.folder, border.studio.today)
    run, folder = print_tags(border, wishes, tell), border.house.folder
    path = folder / "papers" / (f"tags-{wishes.outlet}.pdf" if wishes.outlet else "tags.pdf")
    if run.content:
        begin_printing(folder, border.studio.today)
        is_witness = tells_more(border.studio.book, path)
        file_paper(path, run.content, border.studio.today, keeps_each=is_witness)
        if lines := note_lines(border.studio, run.notes):
            note_printed(folder, lines, border.studio.today)
    return run, path


def print_tags(
    border: Border, wishes: Wishes, tell: Callable[[int, int], None] = lambda done, whole: None
) -> TagRun:
    """All tags asked for, on sheets; Slip when the wishes themselves cannot be met.

    `tell` is called with how many parts of how many are done.
    """

    run = lay_tags(border, wishes)
    if run.papers:
        run.content = join_papers(list(rendered(run.papers, tell)))
    return run


def lay_tags(border: Border, wishes: Wishes) -> TagRun:
    """The same, laid on papers that are not yet rendered."""
    outlet = border.studio.outlet(wishes.outlet) if wishes.outlet else None
    there = border.speaking(outlet)
    how, run = imposing(there, wishes), TagRun()
    for piece in _asked_for(border.studio, wishes.numbers, outlet):
        _sort(border, wishes, piece, run)
    if run.tags:
        lines = (note.line(border.studio.today) for note in run.notes)
        how = replace(how, noted="".join(lines))
        run.papers = lay_papers(there.house, run.tags, run.codes, how)
    return run


def _asked_for(studio: Studio, numbers: Sequence[str], outlet: Outlet | None) -> Iterator[Piece]:
    """In the order of the numbers given, else in the order of the record book."""
    if numbers:
        return (studio.piece(number).record for number in dict.fromkeys(numbers))
    pieces = studio.book.pieces.values()
    return (piece for piece in pieces if outlet is None or is_at(piece, outlet))


def _sort(border: Border, wishes: Wishes, piece: Piece, run: TagRun) -> None:
    """Set the tags of a piece where it hangs, or say why it has none."""
    book = border.studio.book
    asked = book.outlets[wishes.outlet] if wishes.outlet else None
    one = ((asked, items_for(book, piece, asked)),)
    for there in one if asked else places_of(book, piece):
        _set(border, wishes, piece, there, run)


def _set(
    border: Border, wishes: Wishes, piece: Piece, there: tuple[Outlet | None, int], run: TagRun
) -> None:
    """Set the tags of so many like things at one place."""
    outlet, count = there
    own = outlet if outlet and is_at(piece, outlet) else None
    why: Words = reason_against(border.studio.book, piece, own, is_asked=bool(wishes.numbers))
    if why := why or _reason_in(border, piece, outlet, only_changed=wishes.changed):
        run.left_out.append((str(piece.number), why))
        return
    try:
        tag, code = tag_of(border, piece, outlet, wishes)
        run.tags += [tag] * count
        run.codes |= {coded(tag): code} if code else {}
        note = note_of(border, tag.words)
        run.notes += [note] if note not in run.notes else []
    except Slip as slip:
        place = slip.place or piece.number.place
        run.problems.append(Problem(place, slip.what, slip.remedy))


def _reason_in(border: Border, piece: Piece, outlet: Outlet | None, *, only_changed: bool) -> Words:
    """Why its words are no tag: something is missing, or nothing has changed."""
    note = note_at(border, piece, outlet)
    if isinstance(note, Note):
        is_same = only_changed and not why_due(border.studio, note)
        return Said("no_tag.unchanged") if is_same else ""
    return Said("no_tag.lacks", fields=tuple(Said(f"tag_field.{word}") for word in note))


def tag_of(
    border: Border, piece: Piece, outlet: Outlet | None, wishes: Wishes
) -> tuple[SetTag, Code | None]:
    """A tag set, and its code; Slip for what can't be printed."""

    def work() -> tuple[SetTag, Code | None]:
        words = words_for(border, piece, outlet)
        _refuse_unprintable(piece, words)
        size, site = _size(border, wishes, outlet), border.house.site
        code = code_for(site, words.number, most_modules(*size)) if words.has_code else None
        modules = code.modules + 2 * CLEAR if code else 0
        page = words.text.get("page", "")
        form = form_of(*size, modules, has_stub=_has_stub(border, wishes, outlet), page=page)
        markets = border.speaking(outlet).house.markets
        return set_tag(words, form, keeps_origin="US" in markets), code

    asked = f"{outlet.name if outlet else ''} {wishes.size} {wishes.stub}"
    return border.once(f"tag {asked}", str(piece.number), work)


def _size(border: Border, wishes: Wishes, outlet: Outlet | None) -> tuple[Fraction, Fraction]:
    text = (outlet.tag_size if outlet else None) or border.studio.file.tags.tag_size
    return wishes.size or (size_of(str(text)) if text else TAG_SIZE)


def _has_stub(border: Border, wishes: Wishes, outlet: Outlet | None) -> bool:
    """As wished for; else as the outlet's tags have it."""
    if wishes.stub is not None:
        return wishes.stub
    if outlet is None:
        return bool(border.studio.file.tags.stub)
    return border.outlet(str(outlet.name)).has_stub


def imposing(border: Border, wishes: Wishes) -> Imposing:
    """How tags are put on sheets."""
    own = border.studio.file.tags
    outlet = border.outlet(wishes.outlet).title if wishes.outlet else ""
    key = "tag.heading_for" if outlet else "tag.heading"
    if wishes.from_cell < 1:
        raise Slip(Said("tag_slip.cell"), Said("tag_slip.first_cell"))
    return Imposing(
        sheet=wishes.sheet or sheet_of(str(own.sheet)),
        shift=wishes.shift or own_shift(own),
        first=wishes.from_cell - 1,
        stack=own.stack,
        black=own.black_only if wishes.black is None else wishes.black,
        heading=border.phrases.say(key, studio=border.house.name, outlet=outlet),
        day=border.studio.today,
    )


def _refuse_unprintable(piece: Piece, words: TagWords) -> None:
    """Slip for a character of the tag that our letters lack, told where it is written."""
    for _, text in words.fields:
        for sign in sorted(fonts.missing_characters(fonts.printable(text))):
            what = Said("tag_slip.sign", sign=sign, code=f"{ord(sign):04X}")
            raise Slip(what, Said("tag_slip.in_words"), _place_of(sign, piece))


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
