"""The file of hang-tags that are due: made by every build until `tags` prints them.

In: the border with its memo. Out: `papers/tags-due.pdf`, left as it is while the same tags are due;
when one of them changed, only the few sheets that it is on are made anew.
"""

import hashlib
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from functools import partial
from pathlib import Path

from provenance.build.memo import Memo
from provenance.build.program import program
from provenance.build.tags import Wishes, imposing, tag_of
from provenance.build.tags_due import Note, note_at, places_of, reason_against, why_due
from provenance.build.witnesses import DUE
from provenance.digest import digest_of
from provenance.output import write_file
from provenance.papers.tags.finishing import Done, finish_papers, fresh, join_papers
from provenance.papers.tags.paper import Paper
from provenance.papers.tags.sheets import Plan, Slot, plan_papers
from provenance.papers.tags.typesetting import SetTag
from provenance.press.codes.qr import Code
from provenance.press.templates import own_texts
from provenance.problems import Problem, Slip
from provenance.public.border import Border
from provenance.records.lots import Outlet
from provenance.records.pieces import Piece
from provenance.workers import Tell

SHEETS = 2  # of a paper: so much is made anew when one tag changes; one, where there are few tags
FEW = 4  # sheets that one worker renders and joins them all while the site is made
_FEW_TAGS = 100
_DUE = Wishes(changed=True)


class DueTags:
    """The tags that are due: laid and begun on workers, then joined and written."""

    def __init__(self, border: Border, memo: Memo) -> None:
        self.path = border.house.folder / "papers" / DUE
        self.problems: list[Problem] = []
        self._border, self._memo = border, memo
        self._due = list(_due(border))
        self._frame = (program(), own_texts(border.house.templates), border.studio.file)
        self._key = digest_of(*self._frame, [each.key for each in self._due])
        self._count = len(self._due)
        self._keys: list[str] = []
        self._parts: list[Done | Future[Done]] = []
        self._whole: Future[tuple[bytes, list[Done]]] | None = None

    def begin(self, pool: Executor, warm: Executor) -> None:
        """Lay the tags, and hand to workers those papers that are not as they were: a few to the
        one that is warm."""
        if self._before and self._before == _held(self.path):
            return
        slots = list(self._slots())
        self._count = len(slots)
        how = replace(imposing(self._border, _DUE), day=self._day(), tells_day=False)
        frame = digest_of(*self._frame)
        each = SHEETS if len(slots) > _FEW_TAGS else 1
        plans = plan_papers(self._border.house, slots, how, each) if slots else []
        self._keys = [digest_of(frame, *plan.comes_from) for plan in plans]
        papers = [self._kept(turn, plan) or plan.paper() for turn, plan in enumerate(plans)]
        if sum(paper.sheets for paper in papers if isinstance(paper, Paper)) <= FEW:
            self._whole = warm.submit(finish_papers, papers) if papers else None
        else:
            self._parts = [paper if isinstance(paper, Done) else pool.submit(fresh, paper)
                           for paper in papers]  # fmt: skip

    def file(self, tell: Tell) -> int:
        """Write the file, where it is not there already; how many tags are due."""
        if self._keys:
            content, done = self._finished(tell)
            self._keep(done)
            write_file(self.path, content)
            if not self.problems:
                self._memo.put("tags due", self._key, hashlib.sha256(content).hexdigest())
        return self._count

    def _slots(self) -> Iterator[Slot]:
        for each in self._due:
            load = partial(tag_of, self._border, each.piece, each.outlet, _DUE)
            try:
                width, height = self._border.once(
                    f"cell {each.outlet.name if each.outlet else ''}",
                    str(each.piece.number), partial(_cell, load),
                )  # fmt: skip
                yield Slot(width, height, each.key, load)
            except Slip as slip:
                place = slip.place or each.piece.number.place
                problem = Problem(place, slip.what, slip.remedy)
                self.problems += [] if problem in self.problems else [problem]

    @property
    def _before(self) -> str:
        """The digest of the file with these very tags, where they could all be set."""
        return self._memo.get("tags due", self._key) or ""

    def _day(self) -> date:
        """What the file says of its day: when the newest piece was finished, so that a new morning
        alone gives no new file."""
        days = (each.piece.finished for each in self._due)
        return max(filter(None, days), default=date(2000, 1, 1))

    def _kept(self, turn: int, plan: Plan) -> Done | None:
        content = self._memo.get(_name(turn), self._keys[turn])
        return Done(content, len(plan.sheets)) if content else None

    def _finished(self, tell: Tell) -> tuple[bytes, list[Done]]:
        """The file and its papers: one worker has done all, or each paper comes from its own."""
        if self._whole:
            return self._whole.result()
        done = []
        for part in self._parts:
            done.append(part if isinstance(part, Done) else part.result())
            tell(len(done), len(self._parts))
        return join_papers(done), done

    def _keep(self, papers: Sequence[Done]) -> None:
        for turn, (key, paper) in enumerate(zip(self._keys, papers, strict=True)):
            if paper.codes is not None:
                self._memo.put(_name(turn), key, paper.content)


def _name(turn: int) -> str:
    return f"tags due, paper no.{turn}"


@dataclass(frozen=True, slots=True)
class _Due:
    """A tag that is due, and all that it is made from in short."""

    piece: Piece
    outlet: Outlet | None
    key: str


def _due(border: Border) -> Iterator[_Due]:
    """Every tag that is due, as often as it is needed."""
    book, keeping = border.studio.book, border.keeping
    for number, piece in book.pieces.items():
        if reason_against(book, piece):
            continue
        for outlet, count in places_of(book, piece):
            note = note_at(border, piece, outlet)
            if isinstance(note, Note) and why_due(border.studio, note):
                facts = keeping.key(border, number) if keeping else ""
                key = digest_of(facts, str(outlet.name) if outlet else "", note)
                yield from [_Due(piece, outlet, key)] * count


def _cell(load: Callable[[], tuple[SetTag, Code | None]]) -> tuple[Fraction, Fraction]:
    form = load()[0].form
    return form.width, form.cell_height


def _held(path: Path) -> str:
    """The digest of the file as it lies there."""
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""
