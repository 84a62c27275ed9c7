"""Papers that are due after a change: hang-tags on one file, certificates one by one.

In: the border with its memo, worker processes, one of them warm. Out: begun beside the pictures,
filed when the site is in its place; what could not be made, and lines that tell it.
"""

import os
from collections.abc import Callable, Iterator
from concurrent.futures import Executor
from contextlib import AbstractContextManager
from functools import cached_property
from typing import Protocol

from provenance.build.certificates import (
    ENOUGH,
    Asking,
    Begun,
    certificates_due,
    issues_of,
    not_issued,
)
from provenance.build.due_file import DueTags
from provenance.build.memo import Memo
from provenance.build.sealing import Sealing
from provenance.build.seen import due_tag_lines
from provenance.papers.certificates.certificate import Issue
from provenance.papers.format import format_for
from provenance.problems import Place, Problems, Said, Slip, Words
from provenance.public.border import Border


class Telling(Protocol):
    """Something that is told how far the work is."""

    def tell(self, done: int, whole: int) -> None: ...


Progress = Callable[[str], AbstractContextManager[Telling]]


class PapersDue:
    """Tags and certificates of one build; `tags` is how many were due, once they are filed."""

    def __init__(
        self, border: Border, memo: Memo, pool: Executor, warm: Executor, sealing: Sealing | None
    ) -> None:
        self._border, self._memo, self._sealing = border, memo, sealing
        self._pool, self._warm = pool, warm
        self.tags = 0
        self._tags: DueTags | None = None
        self._certificates: Begun | None = None
        self._slip: Slip | None = None

    def begin(self, photos: int) -> None:
        """Hand to the workers what is due; a slip is kept until the papers are filed.

        While the others are busy with pictures of more photos, the one that is warm does it all:
        they need not load what renders papers.
        """
        try:
            pool = self._warm if photos > len(self._numbers) else self._pool
            if not self._waits:
                self._begin_certificates(pool)
            self._tags = DueTags(self._border, self._memo)
            self._tags.begin(pool, self._warm)
        except Slip as slip:
            self._slip = slip

    def begin_sealed(self) -> None:
        """Hand certificates to the workers that carry a statement, which names the pictures."""
        try:
            if self._waits:
                self._begin_certificates(self._pool)
        except Slip as slip:
            self._slip = slip

    @cached_property
    def due(self) -> dict[str, Issue]:
        """Which issues of certificates this build makes: the site lists none that can't be made."""
        try:
            refused = self._certificates.refused() if self._certificates else ()
        except Slip as slip:
            self._slip = slip
        if self._slip:
            return {}
        found = issues_of(self._border, self._numbers)
        return {number: issue for number, issue in found.items() if number not in refused}

    @property
    def _waits(self) -> bool:
        return self._sealing is not None and self._sealing.signs

    @cached_property
    def _numbers(self) -> tuple[str, ...]:
        return certificates_due(self._border)

    def _begin_certificates(self, pool: Executor) -> None:
        asking = Asking(self._border, format_for(self._border.house), self._sealing)
        few = len(self._numbers) < ENOUGH  # it is sooner done with them than the others begin
        self._certificates = Begun(asking, self._numbers, self._warm if few else pool)

    def file(self, progress: Progress, problems: Problems) -> list[Words]:
        """Write them, and tell of them. The site stands where papers find no room."""
        try:
            if self._slip:
                raise self._slip
            return [*self._file_tags(progress, problems), *self._issue(progress, problems)]
        except Slip as slip:
            place = Place(str(self._border.house.folder / "papers"))
            problems.add(place, slip.what, slip.remedy)
            return [Said("build.no_papers")]

    def _file_tags(self, progress: Progress, problems: Problems) -> Iterator[Words]:
        if self._tags is None:
            return
        with progress("hang_tags") as bar:
            self.tags = self._tags.file(bar.tell)
        problems.extend(self._tags.problems)
        yield from due_tag_lines(self.tags, self._tags.path)

    def _issue(self, progress: Progress, problems: Problems) -> Iterator[Words]:
        if self._certificates is None:
            return
        made = []
        with progress("certificates") as bar:
            for issued in self._certificates.issue(bar.tell):
                if issued.slip:
                    problems.extend([not_issued(self._border.studio, issued.number, issued.slip)])
                else:
                    made.append(issued.number)
        if made:
            folder = f"{self._border.house.folder / 'papers'}{os.sep}"
            said = {"folder": folder, "numbers": ", ".join(made)}
            yield Said("build.certificates", number=len(made), **said)
