"""Streams to the tabs of the browser: each is told when something else is seen.

In: that something changed. Out: for each tab an endless run of turns: `True` where there is news,
`False` for a beat of the heart. What came several times while nobody looked is told once.
"""

import threading
from collections.abc import Iterator
from functools import partial

BEAT = 15.0  # seconds
MOST = 32  # tabs


class Tabs:
    """Who is listening."""

    def __init__(self) -> None:
        self._news = threading.Condition()
        self._count = 0
        self._listening = 0
        self._is_closed = False

    @property
    def is_full(self) -> bool:
        """Whether there are as many as a desk has room for."""
        return self._listening >= MOST

    def tell(self) -> None:
        """There is something new."""
        with self._news:
            self._count += 1
            self._news.notify_all()

    def close(self) -> None:
        """End every stream."""
        with self._news:
            self._is_closed = True
            self._news.notify_all()

    def _has_news(self, known: int) -> bool:
        return self._is_closed or self._count != known

    def listen(self, beat: float = BEAT) -> Iterator[bool]:
        """Turns of one tab, until it or the desk is closed."""
        with self._news:
            known = self._count
            self._listening += 1
        try:
            while True:
                with self._news:
                    self._news.wait_for(partial(self._has_news, known), timeout=beat)
                    if self._is_closed:
                        return
                    is_new, known = self._count != known, self._count
                yield is_new
        finally:
            with self._news:
                self._listening -= 1
