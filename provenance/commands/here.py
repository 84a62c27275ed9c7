"""Where a command was called: the record folder, one reading of it, its language.

In: the `--studio` option. Out: the studio, opened when first asked for, and the words of its maker.
"""

from __future__ import annotations

from contextlib import AbstractContextManager, nullcontext
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from provenance.commands.place import record_folder, today
from provenance.commands.voice import Voice
from provenance.language.phrases import Phrases, phrases_for_maker
from provenance.lock import lock
from provenance.problems import Said

if TYPE_CHECKING:
    from provenance.public.border import Border
    from provenance.studio import Studio


class Here(Voice):
    """Where the command was called; reads the studio once, when first asked."""

    def __init__(self, folder: Path | None) -> None:
        self.asked, self.folder = folder, record_folder(folder)
        self.looks_at_photos = False

    @cached_property
    def studio(self) -> Studio:
        """The studio, read and reviewed; its rooms are loaded when it is asked for."""
        from provenance.build.opening import open_studio

        return open_studio(self.folder, today(), looks_at_photos=self.looks_at_photos)

    @cached_property
    def border(self) -> Border:
        """The way to what others may see; commands that stay with the maker never load it."""
        from provenance.public.border import Border

        return Border(self.studio)

    @property
    def phrases(self) -> Phrases:
        return self._own_phrases if "studio" in self.__dict__ else super().phrases

    @cached_property
    def _own_phrases(self) -> Phrases:
        return phrases_for_maker(self.studio.book)

    def turn(self, command: str) -> AbstractContextManager[None]:
        """Records are read when it is our turn, so that nothing is counted or noted twice."""
        return lock(self.folder, command) if self.folder.is_dir() else nullcontext()

    def warn_of_mistakes(self) -> None:
        """One line about mistakes in the records, for commands that go on in spite of them."""
        if count := len(self.studio.mistakes):
            self.say(Said("check.warning", number=count), err=True)
