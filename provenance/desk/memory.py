"""The studio in memory: what was read last, and read again when a file is another by now.

In: the record folder, today. Out: `Seen`, one reading with its border; for each file that holds a
mistake the reading before it came in (the last good one). One thread reads and works: whoever wants
something of the studio has it done there (`ask`), so that nothing is worked out twice at once, and
nothing that takes long (pictures, papers) is done there. Records that are the same are not read
again, pieces that are the same not worked out again: `build.opening` and `build.memo` keep them.
"""

import threading
import time
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import TypeVar

from provenance.build.facts import Facts
from provenance.build.memo import Memo
from provenance.build.opening import open_studio
from provenance.desk.marks import marks_of
from provenance.problems import Said, Slip
from provenance.public.border import Border
from provenance.studio import Studio

Value = TypeVar("Value")
Marks = Mapping[str, str]
_STUDIO = "studio-in-memory"  # the one thread that reads and works


@dataclass(frozen=True, eq=False)
class Seen:
    """One reading: the studio, the way to what others see, when it was made and how long it took;
    `count` rises with every reading. `made` holds what was worked out of it."""

    studio: Studio
    border: Border
    facts: Facts
    memo: Memo
    at: datetime
    seconds: float
    count: int
    made: dict[str, object] = field(default_factory=dict)
    _turn: threading.Lock = field(default_factory=threading.Lock, repr=False)
    _turns: dict[str, threading.RLock] = field(default_factory=dict, repr=False)

    def once(self, name: str, work: Callable[[], Value]) -> Value:
        """Something of this reading, worked out once: who asks meanwhile waits for it.

        What is worked out with `Memory.work` inside may not be asked for by the one thread itself,
        which would wait for somebody that waits for it.
        """
        with self._turn:
            turn = self._turns.setdefault(name, threading.RLock())
        with turn:
            if name not in self.made:
                self.made[name] = work()
            return self.made[name]  # type: ignore[return-value]

    @property
    def wrong_files(self) -> frozenset[str]:
        """Files with a mistake that is no photo's, as places name them."""
        of_photos = self.studio.of_photos
        return frozenset(p.place.file for p in self.studio.mistakes if p not in of_photos)


class Memory:
    """What is known of one record folder; closed at the end."""

    def __init__(self, folder: Path, today: Callable[[], date]) -> None:
        self.folder, self._today = folder, today
        self._worker = ThreadPoolExecutor(1, thread_name_prefix=_STUDIO)
        self._memo: Memo | None = None
        self._marks: Marks = {}
        self._day: date | None = None
        self._seen: Seen | None = None
        self._last: Seen | None = None
        self._before: dict[str, Seen] = {}
        self.slip: Slip | None = None

    def ask(self, work: Callable[[Seen], Value]) -> Value:
        """What `work` makes of the newest reading. Slip where nothing can be read at all."""
        return self.work(lambda: self._ask(work))

    def _ask(self, work: Callable[[Seen], Value]) -> Value:
        if self._seen is None:
            self._look()
        if self._seen is None:
            raise self.slip or Slip("")
        return work(self._seen)

    def work(self, work: Callable[[], Value]) -> Value:
        """Something of an earlier reading that is to be worked out among the others."""
        if threading.current_thread().name.startswith(_STUDIO):
            return work()
        try:
            waiting = self._worker.submit(work)
        except RuntimeError:  # the desk is being closed
            raise Slip(Said("desk.ended")) from None
        return waiting.result()

    def is_newest(self, seen: Seen) -> bool:
        """Whether nothing was read since."""
        return self._seen is seen

    def look(self) -> bool:
        """Read again where any file is another by now; whether that was so."""
        return self.work(self._look)

    def good(self, seen: Seen, files: frozenset[str]) -> Seen | None:
        """The reading to show what comes from these files: this one; where one of them holds a
        mistake, the last that did not; None where there was none."""
        wrong = files & seen.wrong_files
        if not wrong:
            return seen
        before = [self._before[file] for file in wrong if file in self._before]
        fit = [each for each in before if not files & each.wrong_files]
        return max(fit, key=lambda each: each.count, default=None)

    def reading_with(self, number: str) -> Seen | None:
        """The newest of the readings at hand that knows a piece; None for a number nobody knows."""
        at_hand = sorted(self._before.values(), key=lambda each: -each.count)
        return next((each for each in at_hand if number in each.studio.book.pieces), None)

    def last(self, name: str) -> object | None:
        """What an earlier reading at hand made under a name (`Seen.once`); None where none did."""
        found = (each.made.get(name) for each in (*self._before.values(), self._last) if each)
        return next((each for each in found if each is not None), None)

    def _look(self) -> bool:
        marks, day = marks_of(self.folder), self._today()
        known = self._seen is not None or self.slip is not None
        if known and (marks, day) == (self._marks, self._day):
            return False
        self._marks, self._day = marks, day
        begun = time.perf_counter()
        try:
            studio = open_studio(self.folder, day, looks_at_photos=False)
        except Slip as slip:
            self.slip, self._seen = slip, None
            return True
        self.slip = None
        self._keep(studio, begun)
        return True

    def _keep(self, studio: Studio, begun: float) -> None:
        if self._memo is None:
            self._memo = Memo(self.folder)
        facts = Facts(self._memo)
        border, last = Border(studio, keeping=facts), self._seen
        now = datetime.now().astimezone()
        count = last.count + 1 if last else 1
        took = time.perf_counter() - begun
        seen = Seen(studio, border, facts, self._memo, now, took, count)
        wrong = seen.wrong_files
        for file in wrong - self._before.keys():
            if last and file not in last.wrong_files:
                self._before[file] = last
        for file in self._before.keys() - wrong:
            del self._before[file]
        self._last, self._seen = last, seen

    def close(self) -> None:
        """Write down what was worked out."""

        def end() -> None:
            if self._memo:
                self._memo.close()

        self._worker.submit(end).result()
        self._worker.shutdown(wait=False, cancel_futures=True)
