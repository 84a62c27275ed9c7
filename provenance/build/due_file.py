"""The file of hang-tags that are due: made by every build until `tags` prints them.

In: the border with its memo. Out: `papers/tags-due.pdf`, left as it is while the same tags are due;
when one of them changed, only the few sheets that it is on are made anew.
"""

import hashlib
from collections.abc import Iterator, Sequence
from concurrent.futures import Executor, Future
from datetime import date
from pathlib import Path
from typing import Any

from provenance.build.memo import Memo
from provenance.build.program import program, templates_of
from provenance.build.tags import TagRun, Wishes, lay_tags
from provenance.build.tags_due import Note, note_at, places_of, reason_against, why_due
from provenance.digest import digest_of
from provenance.output import write_file
from provenance.papers.tags.sheets import Tell, join_papers, render_paper
from provenance.problems import Problem
from provenance.public.border import Border

_DUE = Wishes(changed=True)


class DueTags:
    """The tags that are due: laid and begun on workers, then joined and written."""

    def __init__(self, border: Border, memo: Memo) -> None:
        self.path = border.house.folder / "papers" / "tags-due.pdf"
        self._border, self._memo = border, memo
        self._due = list(_due(border))
        own = templates_of(border.house.templates)
        self._key = digest_of(program(), own, border.studio.file, self._due)
        self._run: TagRun | None = None
        self._parts: list[tuple[str, bytes | Future[bytes]]] = []

    def begin(self, pool: Executor) -> None:
        """Lay the tags and hand those papers to workers that are not as they were."""
        before, _ = self._before
        if before and before == _held(self.path):
            return
        self._run = lay_tags(self._border, _DUE, day=_day(self._border, self._due))
        for turn, paper in enumerate(self._run.papers):
            key = digest_of(program(), paper)
            kept = self._memo.get(_name(turn), key)
            self._parts.append((key, kept or pool.submit(render_paper, paper)))

    def file(self, tell: Tell) -> tuple[int, Sequence[Problem]]:
        """How many tags are due, in their file; and what is wrong with those that can't be set."""
        if self._run is None:
            return self._before[1], ()
        content = self._joined(self._run, tell)
        if content:
            write_file(self.path, content)
        if not self._run.problems:
            held = hashlib.sha256(content).hexdigest()
            self._memo.put("tags due", self._key, (held, len(self._run.tags)))
        return len(self._run.tags), self._run.problems

    @property
    def _before(self) -> tuple[str, int]:
        """The digest of the file with these very tags, and how many they are."""
        return self._memo.get("tags due", self._key) or ("", 0)

    def _joined(self, run: TagRun, tell: Tell) -> bytes:
        done = []
        for turn, (key, part) in enumerate(self._parts):
            content = part.result() if isinstance(part, Future) else part
            if isinstance(part, Future):
                self._memo.put(_name(turn), key, content)
            done.append(content)
            tell(len(done), len(self._parts))
        fresh = [isinstance(part, Future) for _, part in self._parts]
        return join_papers(run.papers, done, fresh) if done else b""


def _name(turn: int) -> str:
    return f"tags due, paper no.{turn}"


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


def _held(path: Path) -> str:
    """The digest of the file as it lies there."""
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""
