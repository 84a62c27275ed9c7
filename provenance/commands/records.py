"""`publish --records`: a copy of records, photos and keys at a second place.

In: what is wished of copies. Out: a copy, or a note of one made by hand, lines that tell of it.
"""

from dataclasses import replace
from datetime import date
from functools import partial

from provenance.commands.here import Here
from provenance.commands.pass_phrases import of_copies
from provenance.commands.records_back import OfRecords, check_records, restore_records
from provenance.problems import Said
from provenance.publish import records_copied as copied
from provenance.publish.remembered import remember, remembered
from provenance.publish.second_place import opened


def records(here: Here, wish: OfRecords) -> None:
    """Do what is wished; exit code 1 where something at the place is damaged."""
    if wish.is_done:
        remember(here.folder, replace(remembered(here.folder), day=date.today().isoformat()))
        here.say(Said("second_place.noted"))
    elif wish.restore:
        restore_records(here, wish, wish.restore.resolve())
    elif wish.is_check:
        check_records(here, wish)
    else:
        _copy(here)


def _copy(here: Here) -> None:
    second, asks = copied.place_of(here.studio), partial(of_copies, here)
    with opened(second, here.folder) as place, here.progress("copying") as bar:
        asking = copied.Asking(
            partial(asks, is_new=True), partial(asks, is_new=False), bar.tell, here.phrases,
            partial(here.turn, "publish"),
        )  # fmt: skip
        lines = copied.copy_records(here.studio, place, second, asking)
    for line in lines:
        here.say(line)
