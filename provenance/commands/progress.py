"""A progress bar for long work: on a terminal only, when there is something to wait for."""

from __future__ import annotations

import sys
import time
from types import TracebackType
from typing import Any, Self

PATIENCE = 0.3


class Progress:
    """`with Progress("pictures") as progress: work(progress.tell)`."""

    def __init__(self, what: str) -> None:
        self._what = what
        self._bar: Any = None
        self._task: Any = None
        self._began = time.monotonic()

    def __enter__(self) -> Self:
        return self

    def tell(self, done: int, whole: int) -> None:
        """So many of so many are done."""
        if not sys.stderr.isatty() or (done == whole and self._bar is None):
            return
        if self._bar is None:
            if time.monotonic() - self._began < PATIENCE:
                return
            self._open(whole)
        self._bar.update(self._task, completed=done, total=whole)

    def _open(self, whole: int) -> None:
        from rich.console import Console
        from rich.progress import BarColumn, MofNCompleteColumn, TextColumn
        from rich.progress import Progress as RichProgress

        self._bar = RichProgress(
            TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(),
            console=Console(stderr=True), transient=True,
        )  # fmt: skip
        self._bar.start()
        self._task = self._bar.add_task(self._what, total=whole)

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._bar is not None:
            self._bar.stop()
