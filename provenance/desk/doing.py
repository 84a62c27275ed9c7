"""Deeds at the desk: shown with a mark, done while nothing has changed since they were shown.

In: a deed, or the wish to take the last one back. Out: its lines and a mark; then files changed
and noted, as at a terminal where the maker said yes. A mark holds for one deed, once, and only
while the files that it changes, and those of studio/ that it was worked out from, say what they
said.
"""

import hashlib
import secrets
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from provenance.deeds.deed import Deed
from provenance.deeds.doing import do, take_back
from provenance.deeds.journal import Entry, undoing
from provenance.desk.links import shown
from provenance.language.phrases import Phrases
from provenance.lock import lock
from provenance.problems import Said, Slip
from provenance.records.printed import FILE as PRINTED
from provenance.studio import Studio

MOST = 20  # deeds that are shown and wait for a yes
_KEPT = tuple(f"/studio/{name}.yaml" for name in (PRINTED, "deeds"))


@dataclass(frozen=True, slots=True)
class Shown:
    """A deed that was shown: the files it rests on with their digests; `kept` is the journal as it
    is once a deed was taken back."""

    deed: Deed
    rests_on: Mapping[str, str]
    kept: list[Entry] | None = None


class Deeds:
    """The deeds that were shown at the desk and wait, by their marks."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._waiting: dict[str, Shown] = {}

    def show(self, deed: Deed, studio: Studio, phrases: Phrases) -> dict[str, Any]:
        """What a deed would change, and the mark by which it is done."""
        files = {name: seen for name, seen in studio.book.digests.items() if _decides(name)}
        return self._shown(Shown(deed, files), phrases)

    def show_undo(self, phrases: Phrases) -> dict[str, Any]:
        """What taking the last deed back would change. Raises Slip where there is none."""
        deed, kept = undoing(self._folder)
        return self._shown(Shown(deed, {}, kept), phrases)

    def _shown(self, it: Shown, phrases: Phrases) -> dict[str, Any]:
        mark = secrets.token_urlsafe(16) if it.deed.changes else ""
        if mark:
            self._waiting[mark] = it
            for old in list(self._waiting)[:-MOST]:
                self._waiting.pop(old, None)
        return {**shown(it.deed, phrases), "mark": mark}

    def do(self, mark: str, today: Callable[[], date]) -> Shown:
        """Do what was shown under a mark. Raises Slip where it no longer holds."""
        it = self._waiting.pop(mark, None)
        if it is None:
            raise Slip(Said("desk_hands.stale"), Said("desk_hands.show_again"))
        with lock(self._folder, it.deed.words.split(" ")[0]):
            for name in _changed(self._folder, it.rests_on):
                raise Slip(Said("deed.changed", file=name), Said("desk_hands.show_again"))
            if it.kept is None:
                do(self._folder, it.deed, today())
            else:
                take_back(self._folder, it.deed, it.kept)
        return it


def _decides(name: str) -> bool:
    return "/studio/" in name and not name.endswith(_KEPT)


def _changed(folder: Path, files: Mapping[str, str]) -> Iterator[str]:
    for name, digest in files.items():
        now = b""
        with suppress(OSError):
            now = (folder.parent / name).read_bytes()
        if hashlib.sha256(now).hexdigest() != digest:
            yield name
