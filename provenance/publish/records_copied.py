"""A copy of a studio at its second place, from its settings to what its maker is told.

In: the studio, ways to ask for a pass-phrase, our turn among the records. Out: the copy, and
sentences that tell of it.
"""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from fractions import Fraction
from pathlib import Path

from provenance.build.secret_keys import key_folder, keys_here
from provenance.language.phrases import Phrases
from provenance.problems import Said, Words
from provenance.publish.belongs import Look, look
from provenance.publish.copying import Copied, Copying
from provenance.publish.giving import Gives
from provenance.publish.kept_apart import told_of
from provenance.publish.locked import KEY, Locked
from provenance.publish.remembered import note_copy, remember, remembered
from provenance.publish.restore_text import NAME, restore_text
from provenance.publish.restoring import Checked, Restored
from provenance.publish.second_place import Asks, second_of, way_of_storing
from provenance.records.book import Book
from provenance.records.publishing import SecondPlace
from provenance.studio import Studio

Told = Callable[[int, int], None]
_SHOWN = 20


@dataclass(frozen=True, slots=True)
class Asking:
    """How a pass-phrase is asked for (a `new` one, the one of before), how far the work is, in
    which words RESTORE.txt is written, and our turn."""

    new: Asks
    again: Asks
    told: Told
    phrases: Phrases
    turn: Callable[[], AbstractContextManager[None]]


def place_of(studio: Studio) -> SecondPlace:
    """The second place that the settings name; Slip where they can't be read or name none."""
    settings = f"{studio.book.folder.name}/studio/publish.yaml"
    for mistake in studio.mistakes:
        if mistake.place.file == settings:
            raise mistake.as_slip()
    return second_of(studio.book.publishing, studio.book.folder)


def copy_records(studio: Studio, place: Gives, second: SecondPlace, asking: Asking) -> list[Words]:
    """Put a copy there; what its maker is told."""
    folder, before = studio.book.folder, remembered(studio.book.folder)
    stores, now = way_of_storing(place, second, before, asking.new, asking.again)
    is_locked = isinstance(stores, Locked)
    if is_locked:
        remember(folder, now)
    beside = {NAME: restore_text(asking.phrases, is_locked=is_locked)}
    beside |= {KEY: now.key.encode()} if is_locked else {}
    keys = _keys(studio.book)

    def looks() -> Look:
        with asking.turn():
            return look(folder, keys, is_locked=is_locked)

    copied = Copying(place, stores, beside, asking.told).copy(looks, datetime.now(UTC))
    note_copy(folder, now, date.today())
    is_new = is_locked and now.key != before.key
    return list(_lines(copied, studio.book, told_of(second), is_new=is_new))


def _keys(book: Book) -> list[Path]:
    """The files of the studio's secret keys that lie here."""
    paths = (key_folder() / f"{key.key}.pem" for key in book.keys)
    return [path for path in paths if path.is_file()]


def _lines(copied: Copied, book: Book, place: str, *, is_new: bool) -> Iterator[Words]:
    yield Said("second_place.copied", number=copied.files, size=weight(copied.size), place=place)
    yield Said("second_place.went", number=copied.went, size=weight(copied.went_size))
    for name in copied.look.left_out:
        yield Said("second_place.left_out", file=name)
    for name in copied.look.bare_keys:
        yield Said("second_place.bare_key", file=name)
    here = {path.stem for path in _keys(book)}
    for key, _ in keys_here(book):
        if key not in here:
            yield Said("second_place.no_secret", key=key)
    if is_new:
        yield Said("second_place.write_down")


def restored_lines(restored: Restored, folder: Path) -> Iterator[Words]:
    """What came back, and what did not."""
    number, day = restored.files - restored.keys, restored.day
    yield Said("second_place.restored", number=number, day=day, folder=str(folder))
    if restored.keys:
        yield Said("second_place.keys_back", number=restored.keys, folder=str(key_folder()))
    for name in restored.lost:
        word = "unwritten" if name in restored.unwritten else "lost"
        yield Said(f"second_place.{word}", file=name)


def checked_lines(checked: Checked) -> Iterator[Words]:
    """What lies there, whole or not."""
    if not checked.days:
        yield Said("second_place.nothing")
        return
    first, last = checked.days[0], checked.days[-1]
    yield Said("second_place.copies", number=len(checked.days), first=first, last=last)
    if not checked.lost:
        yield Said("second_place.all_whole", number=checked.files)
    yield from (Said("second_place.damaged", file=name) for name in checked.lost[:_SHOWN])
    if checked.lost:
        yield Said("second_place.mend", number=len(checked.lost))


def weight(size: int) -> Said:
    """Bytes as a maker reads them."""
    if size < 1_000_000:
        return Said("second_place.kilobytes", size=Fraction(-(-size // 1_000)))
    return Said("second_place.megabytes", size=Fraction(round(size / 100_000), 10))
