"""The file of hang-tags that are due: made by every build until `tags` prints them.

In: the border with its memo. Out: `papers/tags-due.pdf`, left as it is while the same tags are due;
when one of them changed, only the few sheets that it is on are made anew.
"""

import hashlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from provenance.build.memo import Memo
from provenance.build.program import program, templates_of
from provenance.build.tags import Wishes, tags_on_sheets
from provenance.build.tags_due import Note, note_at, places_of, reason_against, why_due
from provenance.digest import digest_of
from provenance.output import write_file
from provenance.papers.tags.rendering import Paper, rendered
from provenance.problems import Problem
from provenance.public.border import Border

_DUE = Wishes(changed=True)


@dataclass(frozen=True, slots=True)
class DueFile:
    """How many tags are due and where they lie; what is wrong with those that can't be set."""

    path: Path
    count: int
    problems: tuple[Problem, ...] = ()


def file_due_tags(border: Border, memo: Memo, tell: Callable[[int, int], None]) -> DueFile:
    """Make the file of due tags, where it is not there already as it would be."""
    path = border.house.folder / "papers" / "tags-due.pdf"
    due = list(_due(border))
    key = digest_of(program(), templates_of(border.house.templates), border.studio.file, due)
    before, count = memo.get("tags due", key) or ("", 0)
    if before and before == _held(path):
        return DueFile(path, count)

    def rendering(papers: Sequence[Paper]) -> Iterator[tuple[bytes, bool]]:
        return _rendered(papers, memo, tell)

    run = tags_on_sheets(border, _DUE, rendering, day=_day(border, due))
    if run.content:
        write_file(path, run.content)
    if not run.problems:
        memo.put("tags due", key, (hashlib.sha256(run.content).hexdigest(), len(run.tags)))
    return DueFile(path, len(run.tags), tuple(run.problems))


def _due(border: Border) -> Iterator[tuple[Any, ...]]:
    """Every tag that is due, and all that it is made from."""
    book, keeping = border.studio.book, border.keeping
    for number, piece in book.pieces.items():
        if reason_against(book, piece):
            continue
        for outlet, count in places_of(book, piece):
            note = note_at(border, piece, outlet)
            if not isinstance(note, Note) or why_due(border.studio, note):
                key = keeping.key(border, number) if keeping else ""
                yield number, count, str(outlet.name) if outlet else "", note, key


def _day(border: Border, due: Sequence[tuple[Any, ...]]) -> date:
    """What the file says of its day: when the newest piece was finished, so that a new morning
    alone gives no new file."""
    pieces = (border.studio.book.pieces[number] for number, *_ in due)
    return max(filter(None, (piece.finished for piece in pieces)), default=date(2000, 1, 1))


def _rendered(
    papers: Sequence[Paper], memo: Memo, tell: Callable[[int, int], None]
) -> Iterator[tuple[bytes, bool]]:
    """Each paper, from the memo where it is the same as before; and whether it is fresh."""
    keys = [digest_of(program(), paper) for paper in papers]
    known = [memo.get(f"tags due, paper no.{turn}", key) for turn, key in enumerate(keys)]
    fresh = rendered([p for p, kept in zip(papers, known, strict=True) if kept is None], tell)
    for turn, (key, kept) in enumerate(zip(keys, known, strict=True)):
        content = next(fresh) if kept is None else kept
        if kept is None:
            memo.put(f"tags due, paper no.{turn}", key, content)
        yield content, kept is None


def _held(path: Path) -> str:
    """The digest of the file as it lies there."""
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""
