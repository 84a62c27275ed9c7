"""Worker processes of a build, begun before it is known what there is to make.

In: nothing. Out: a pool for whatever is much, and one process that gets ready to render papers
while the builder itself is still being loaded and finds out which: loading is done on two cores.
"""

import gc
import os
from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from dataclasses import dataclass

from provenance.press.pdf.ready import get_ready
from provenance.workers import workers

_PAGES_WORTH = 20_000  # values that a few pages leave behind


@dataclass(frozen=True, slots=True)
class Crew:
    """Worker processes: a `pool` on every core, begun when there is work for it, and one that is
    `warm`: it gets ready to render papers while it is found what to make."""

    pool: Executor
    warm: Executor

    def warm_up(self) -> None:
        """Have the one get ready; a second time does nothing new."""
        if (os.cpu_count() or 1) > 1:
            self.warm.submit(get_ready)


@contextmanager
def crew(*, is_early: bool = False) -> Iterator[Crew]:
    """The workers of a build; one gets ready at once where it is likely that there is work."""
    with workers() as pool, workers(1) as warm:
        hands = Crew(pool, warm)
        if is_early:
            hands.warm_up()
        yield hands


@contextmanager
def little_waste() -> Iterator[None]:
    """Search for garbage often, since a page leaves much, and never among what was read before."""
    before = gc.get_threshold()
    gc.freeze()
    gc.set_threshold(_PAGES_WORTH, *before[1:])
    try:
        yield
    finally:
        gc.set_threshold(*before)
        gc.unfreeze()
