"""Whoever saves a record, here or in an editor: it is noticed, and read again.

In: the desk, a sign to stop. Out: `desk.look()` whenever something was saved. Editors truncate and
write, write beside and move, touch without changing: each is a batch of events, and digests decide
(`marks`). Once a second sizes and times are compared as well: the watched folder may be replaced by
another, and network disks tell nothing; a desk that has to look so tells it (`desk.watching`).
The only door to watchfiles.
"""

import threading
from collections.abc import Iterator
from contextlib import suppress

from provenance.desk.desk import Desk
from provenance.desk.marks import states_of

_STEP, _DEBOUNCE, _LOOK = 40, 200, 1_000  # milliseconds
_EMPTY = 0.12  # seconds after which a file that was emptied has its new text
_LEFT_OUT = ("papers", ".git")


class Watch(threading.Thread):
    """Watches one record folder until it is ended."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(daemon=True, name="watching")
        self._desk = desk
        self._ended = threading.Event()
        self._states = states_of(desk.folder)

    def run(self) -> None:
        while not self._ended.is_set():
            with suppress(OSError, RuntimeError):
                for has_events in self._turns():
                    self._turn(has_events=has_events)
            self._turn(has_events=False)
            self._ended.wait(_LOOK / 1000)

    def _turns(self) -> Iterator[bool]:
        """A turn for every batch of events and every second; ends where the folder is another."""
        from watchfiles import watch

        folder, place = self._desk.folder, self._states[""]
        for batch in watch(
            folder, watch_filter=_counts, stop_event=self._ended, step=_STEP, debounce=_DEBOUNCE,
            rust_timeout=_LOOK, yield_on_timeout=True, raise_interrupt=False,
            ignore_permission_denied=True,
        ):  # fmt: skip
            yield bool(batch)
            if self._states[""] != place:
                return

    def _turn(self, *, has_events: bool) -> None:
        states = states_of(self._desk.folder)
        if states == self._states and not has_events:
            return
        if any(
            size == 0 and self._states.get(name, (0,))[0] for name, (size, *_) in states.items()
        ):
            self._ended.wait(_EMPTY)
            states = states_of(self._desk.folder)
        is_silent = not has_events and states[""] == self._states[""]
        if is_silent:
            self._desk.watching = "looks"
        self._states = states
        self._desk.look()

    def end(self) -> None:
        """Watch no more."""
        self._ended.set()
        self.join(timeout=3)


def _counts(_change: object, path: str) -> bool:
    """Hidden files and papers come from nowhere that the desk reads."""
    parts = path.replace("\\", "/").split("/")
    return not parts[-1].startswith(".") and not set(parts[-2:-1]) & set(_LEFT_OUT)
