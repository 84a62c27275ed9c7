"""A progress bar for long work: on a terminal only, when there is something to wait for."""

import sys
import time
from contextlib import ExitStack
from typing import Any

PATIENCE = 0.3


class Progress(ExitStack):
    """`with Progress("pictures") as progress: work(progress.tell)`."""

    def __init__(self, what: str) -> None:
        super().__init__()
        self._what, self._began = what, time.monotonic()
        self._bar: Any = None
        self._task: Any = None

    def tell(self, done: int, whole: int) -> None:
        """So many of so many are done."""
        if self._bar is None and self._is_worth_it(done, whole):
            self._open(whole)
        if self._bar is not None:
            self._bar.update(self._task, completed=done, total=whole)
            if done >= whole:  # what is asked after it needs the terminal
                self.close()
                self._bar = None

    def tell_of(self, done: int, whole: int, name: str) -> None:
        """The same, with the name of what is being done."""
        self.tell(done, whole)
        if self._bar is not None:
            self._bar.update(self._task, description=f"{self._what}: {name}")

    def _is_worth_it(self, done: int, whole: int) -> bool:
        return sys.stderr.isatty() and done < whole and time.monotonic() - self._began >= PATIENCE

    def _open(self, whole: int) -> None:
        from rich.console import Console
        from rich.progress import BarColumn, MofNCompleteColumn, TextColumn
        from rich.progress import Progress as RichProgress

        columns = TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn()
        console = Console(stderr=True)
        self._bar = self.enter_context(RichProgress(*columns, console=console, transient=True))
        self._task = self._bar.add_task(self._what, total=whole)
