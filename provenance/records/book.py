"""The whole record book of a studio, read once.

In: a folder of records. Out: a frozen `Book` of typed records, and every problem found, each with
its place. Only here are the maker's record files read, so a run works on one consistent reading.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

from provenance.problems import Place, Problem, Problems, Said
from provenance.records.baths import Bath, DyedYarn
from provenance.records.chains import without_long_chains
from provenance.records.commissions import Commission
from provenance.records.fields import YES
from provenance.records.folder import Reading
from provenance.records.found_photos import with_found_photos
from provenance.records.issued import Issue, read_issued
from provenance.records.kept import Kept
from provenance.records.light_tests import LightTest
from provenance.records.lots import Dyestuff, Fleece, Mordant, Outlet, Sundry, Yarn
from provenance.records.numbers import Habits
from provenance.records.pages import OF_THE_MENU, Words, read_pages
from provenance.records.pieces import Piece
from provenance.records.printed import FILE as PRINTED
from provenance.records.printed import Printed, read_printed
from provenance.records.publishing import PUBLISH, Publishing, read_publishing
from provenance.records.read_files import read_each, read_lots
from provenance.records.reading import Named, Record, read_record
from provenance.records.seal_keys import FILE as KEYS
from provenance.records.seal_keys import SealKey, read_keys
from provenance.records.shows import Show, shown_in
from provenance.records.studio import StudioFile
from provenance.records.text import Fields, Written

LOT_FILES: Mapping[str, type[Named]] = {
    "fleece": Fleece,
    "dyestuffs": Dyestuff,
    "mordants": Mordant,
    "yarns": Yarn,
    "sundries": Sundry,
    "outlets": Outlet,
    "light-tests": LightTest,
}

_FOLDERS: Mapping[str, type[Record]] = {
    "dyebook": Bath,
    "": Piece,
    "commissions": Commission,
    "shows": Show,
}


class Dyed(NamedTuple):
    """Where a dyed lot came from: the bath's name, the bath, the lot's entry there."""

    bath_name: str
    bath: Bath
    entry: DyedYarn


@dataclass(frozen=True, slots=True)
class Book:
    """Everything a studio has written down.

    `broken` holds the names of records that could not be read, by kind ("yarns", "pieces", ...):
    what refers to them is not called unknown. `digests` has the SHA-256 of each file that was read,
    by the name it has in places. `shown_in` has the shows that each work hangs in, by its number.
    """

    folder: Path
    studio: StudioFile
    fleece: Mapping[str, Fleece]
    dyestuffs: Mapping[str, Dyestuff]
    mordants: Mapping[str, Mordant]
    yarns: Mapping[str, Yarn]
    sundries: Mapping[str, Sundry]
    outlets: Mapping[str, Outlet]
    light_tests: Mapping[str, LightTest]
    baths: Mapping[str, Bath]
    dyed: Mapping[str, Dyed]
    pieces: Mapping[str, Piece]
    commissions: Mapping[str, Commission]
    shows: Mapping[str, Show]
    shown_in: Mapping[str, tuple[Show, ...]]
    printed: tuple[Printed, ...]
    issued: Mapping[str, tuple[Issue, ...]]
    pages: Mapping[str, Words]
    broken: Mapping[str, frozenset[str]]
    keys: tuple[SealKey, ...] = ()
    publishing: Publishing | None = None
    digests: Mapping[str, str] = field(default_factory=dict)

    def is_broken(self, name: str, *kinds: str) -> bool:
        """Whether a record of this name stands in the book but could not be read."""
        return any(name in self.broken.get(kind, ()) for kind in kinds)

    def may_have(self, name: str, *kinds: str) -> bool:
        """Whether a name may stand in a record that could not be read, in part or at all."""
        return self.is_broken(name, *kinds) or self.is_broken("*", *kinds)

    @property
    def own_pages(self) -> Mapping[str, Words]:
        """Pages with an address of their own: what a show hangs up or prints is the show's, save
        where the menu has a place for it."""
        of_shows = {name for show in self.shows.values() for name in show.pages} - OF_THE_MENU
        return {name: words for name, words in self.pages.items() if name not in of_shows}

    def issue_of(self, commission: str) -> Issue | None:
        """The newest quotation that went out for a commission."""
        return next(reversed(self.issued.get(commission, ())), None)

    def bath_of(self, name: str) -> Bath | None:
        """A bath by its file name, or by a lot that came out of it."""
        lot = self.dyed.get(name)
        return self.baths.get(name) or (lot.bath if lot else None)


def read_book(folder: Path, kept: Kept | None = None) -> tuple[Book | None, tuple[Problem, ...]]:
    """Read a record folder whole; the book is None only when there is no studio to speak of.

    With what earlier readings `kept` it is the same book, sooner.
    """
    problems = Problems()
    reading = Reading(folder, problems, digests={} if kept is None else kept.marks, kept=kept)
    if not folder.is_dir():
        problems.add(Place(str(folder)), Said("file.no_folder"), Said("file.start_studio"))
        return None, tuple(problems)
    studio = _read_studio(reading)
    reading.tell_stray_files(("studio", PRINTED, "deeds", KEYS, PUBLISH, *LOT_FILES))
    lots = {
        kind.replace("-", "_"): read_lots(reading, kind, model) for kind, model in LOT_FILES.items()
    }
    each = read_each(reading, _FOLDERS)
    baths = without_long_chains(reading, each["dyebook"])
    pieces = _by_number(reading, each[""], "pieces")
    commissions = _by_number(reading, each["commissions"], "commissions")
    printed = _read_printed(reading)
    shows = each["shows"]
    book = Book(
        folder=folder,
        studio=studio,
        **lots,
        baths=baths,
        dyed=_dyed_lots(baths),
        pieces=with_found_photos(folder, pieces),
        commissions=commissions,
        shows=shows,
        shown_in=shown_in(shows),
        printed=printed,
        issued=read_issued(folder, problems),
        pages=read_pages(folder, problems),
        broken={kind: frozenset(names) for kind, names in sorted(reading.broken.items())},
        digests=reading.digests,
        keys=read_keys(reading.open, folder / "studio" / f"{KEYS}.yaml", problems),
        publishing=read_publishing(reading.open, folder, problems),
    )
    return book, tuple(problems)


def _dyed_lots(baths: Mapping[str, Bath]) -> dict[str, Dyed]:
    """Every dyed lot by name; of two with one name (which is a problem) the first."""
    lots: dict[str, Dyed] = {}
    for name, bath in baths.items():
        for entry in bath.dyed:
            lots.setdefault(str(entry.becomes), Dyed(name, bath, entry))
    return lots


def _read_printed(reading: Reading) -> tuple[Printed, ...]:
    """The list of printed numbers; whether all of it could be read is remembered."""
    unread, path = Problems(), reading.folder / "studio" / f"{PRINTED}.yaml"
    told, reading.problems = reading.problems, unread
    lines = read_printed(reading.open, path, unread)
    reading.problems = told
    told.extend(unread)
    if unread:
        reading.mark_broken(PRINTED, "*")
    return lines


def _read_studio(reading: Reading) -> StudioFile:
    path = reading.file_in_studio("studio")
    if path is None:
        place = Place(f"{reading.folder.name}/studio/studio.yaml")
        reading.problems.add(place, Said("file.no_studio"), Said("file.start_studio_file"))
    raw, found = reading.bytes_of(path) if path else None, None
    if path and raw is not None:
        read = partial(_studio_in, reading, path, raw)
        found = reading.once_read(reading.key_of(tuple, path), tuple, read)
    reading.habits, studio = found or (reading.habits, None)
    if studio is None:
        reading.mark_broken("studio", "*")
    return studio or StudioFile(studio=Written(""), maker=Written("-"))


def _studio_in(reading: Reading, path: Path, raw: bytes) -> tuple[Habits, StudioFile | None] | None:
    """How the maker writes numbers, and the studio file, where that can be read."""
    value = reading.values_in(raw, path)
    if isinstance(value, Fields):
        habits = _habits(value)
        return habits, read_record(StudioFile, value, habits, reading.problems)
    if value is not None:
        reading.problems.add(value.place, Said("file.studio_lines"), Said("file.studio_such"))
    return None


def _habits(value: Fields) -> Habits:
    comma, currency = value.get("decimal comma"), value.get("currency")
    uses_comma = isinstance(comma, str) and comma.lower() in YES
    return Habits(uses_comma, currency.upper() if isinstance(currency, str) else "GBP")


def _by_number(reading: Reading, records: Mapping[str, Any], kind: str) -> dict[str, Any]:
    """The records by their number; a number given twice is a problem."""
    found: dict[str, Any] = {}
    for stem, record in records.items():
        number = str(record.number)
        if number in found:
            what = Said("file.number_twice", number=number)
            remedy = Said("file.next_number", place=found[number].number.place.short)
            reading.problems.add(record.number.place, what, remedy)
            continue
        follows = stem.removeprefix(number)[:1] if stem.startswith(number) else "0"
        if kind == "pieces" and follows in tuple("0123456789"):
            what = Said("file.other_number", file=stem, number=number)
            remedy = Said("file.start_with", number=number)
            reading.problems.add(record.number.place, what, remedy, is_remark=True)
        found[number] = record
    return found
