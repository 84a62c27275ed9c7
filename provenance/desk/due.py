"""Which tags are due, worked out one piece at a time, so that a save never waits for all of them.

In: the studio in memory. Out: whether the tags of the newest reading are known; what was worked out
is kept by the keys of its pieces (`build.facts`), so that after a change only what comes of it is
worked out anew. One thread of its own asks; the studio's one thread works, between other things.
"""

import threading

from provenance.build.tags_due import tags_due
from provenance.desk.memory import Memory, Seen
from provenance.problems import Slip

_PATIENCE = 2.0  # seconds that today's list waits for them


class Due:
    """The tags of one desk; ended with it."""

    def __init__(self, memory: Memory) -> None:
        self._memory = memory
        self._turn = threading.Condition()
        self._is_at_work = self._is_ended = False
        self._known = 0  # the reading whose tags are known

    def are_known(self) -> bool:
        """Whether the tags of the newest reading are, or soon were, worked out. Slip where nothing
        can be read."""
        count = self._memory.ask(lambda seen: seen.count)
        with self._turn:
            if self._known < count and not self._is_at_work:
                self._is_at_work = True
                threading.Thread(target=self._work, daemon=True, name="tags").start()
            self._turn.wait_for(lambda: self._known >= count or self._is_ended, _PATIENCE)
            return self._known >= count

    def end(self) -> None:
        """Begin nothing more."""
        with self._turn:
            self._is_ended = True
            self._turn.notify_all()

    def _work(self) -> None:
        count = 0
        try:
            seen = self._memory.ask(lambda it: it)
            if all(self._one(seen, number) for number in seen.studio.book.pieces):
                count = seen.count
        except Slip:
            pass  # nothing can be read, or the desk is being closed
        finally:
            with self._turn:
                self._known, self._is_at_work = max(self._known, count), False
                self._turn.notify_all()

    def _one(self, seen: Seen, number: str) -> bool:
        """One piece in its turn; False where the desk ends or something was saved meanwhile."""

        def work() -> bool:
            try:
                any(tags_due(seen.border, [number]))
            except Slip:
                return True  # today's list tells it
            return self._memory.is_newest(seen)

        return not self._is_ended and self._memory.work(work)
