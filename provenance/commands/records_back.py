"""What lies at a second place: read again, or put back into an empty folder.

In: what is wished. Out: lines that tell of it; exit code 1 where something is damaged or gone.
"""

import sys
from collections.abc import Iterable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import date
from functools import partial
from pathlib import Path

from provenance.commands.here import Here
from provenance.commands.pass_phrases import of_copies
from provenance.problems import Words
from provenance.publish import records_copied as copied
from provenance.publish.giving import Gives
from provenance.publish.restoring import list_of, restore
from provenance.publish.second_place import checked_at, names_in, opened, opens_of
from provenance.records.publishing import SecondPlace
from provenance.records.text import Written


@dataclass(frozen=True)
class OfRecords:
    """To check copies, to restore one (of a day, from a folder), to note one; else to make one."""

    is_check: bool = False
    restore: Path | None = None
    of: date | None = None
    source: Path | None = None
    is_done: bool = False


def check_records(here: Here, wish: OfRecords) -> None:
    """Read all again."""
    with _place(here, wish) as place, here.progress("checking") as bar:
        checked = checked_at(place, wish.source, partial(of_copies, here, is_new=False), bar.tell)
    _say(here, copied.checked_lines(checked), is_well=bool(checked.days) and not checked.lost)


def restore_records(here: Here, wish: OfRecords, folder: Path) -> None:
    """Put a copy back."""
    with _place(here, wish) as place, here.progress("restoring") as bar:
        name = list_of(place.manifest().files or names_in(wish.source), wish.of)
        opens = opens_of(place, name, partial(of_copies, here, is_new=False))
        restored = restore(place, opens, name, folder, bar.tell)
    _say(here, copied.restored_lines(restored, folder), is_well=not restored.lost)


def _place(here: Here, wish: OfRecords) -> AbstractContextManager[Gives]:
    at_hand = SecondPlace(folder=Written(str(wish.source.resolve()))) if wish.source else None
    return opened(at_hand or copied.place_of(here.studio), here.folder)


def _say(here: Here, lines: Iterable[Words], *, is_well: bool) -> None:
    for line in lines:
        here.say(line)
    sys.exit(not is_well)
