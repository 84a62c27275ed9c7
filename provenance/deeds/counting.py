"""`count`: what a stock count found; the difference is written as lost.

In: the studio, a lot, what is really there; or a sheet of `stock --count-sheet`, filled in. Out: a
`Deed` that writes `lost:` into the lots, so that what came in is again what was used, what is left
and what was lost. More than the records leave is refused: somewhere a use, a weight or a whole lot
is not as it was written.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path as File

from provenance.deeds.deed import Deed, change_of
from provenance.deeds.sums import amount_text
from provenance.figures.flow.flow import Key
from provenance.language.phrases import Phrases
from provenance.press.tables.opening import open_table
from provenance.problems import Place, Said, Slip, Words, WrongWish, did_you_mean
from provenance.records.baths import DyedYarn
from provenance.records.book import Book
from provenance.records.bring.table import text_of
from provenance.records.lots import Dyestuff, Fleece, Mordant, Sundry, Yarn
from provenance.records.patch import Path, Put, Wish
from provenance.records.quantities import Centimetres, Count, Grams, Quantity
from provenance.records.reading import known_words
from provenance.studio import Studio

_SAME = Fraction(1, 20)  # of a gram, a centimetre or one: no scale tells less
Record = Fleece | Dyestuff | Mordant | Yarn | Sundry | DyedYarn
_KINDS: dict[str, type[Quantity]] = {"": Count, "cm": Centimetres, "g": Grams}


@dataclass(frozen=True, slots=True)
class _Counted:
    """A lot that can be counted: its node in the flow, its record and where `lost` is written."""

    key: Key
    record: Record
    place: Place
    path: Path

    @property
    def unit(self) -> str:
        return self.record.unit if isinstance(self.record, Sundry) else "g"


def count(studio: Studio, name: str, typed: str) -> Deed:
    """A lot and what is really there of it. Raises Slip where the records leave less."""
    found = _count(studio, name, typed)
    changes = tuple(change_of(studio, file, [put]) for file, put in found.puts)
    return Deed(f"count {name} {typed}", changes, (found.said,))


@dataclass(frozen=True, slots=True)
class _Count:
    """What is to be said of a lot that was counted, and what is to be written in which file."""

    said: Said
    puts: tuple[tuple[str, Put], ...] = ()


def counted_on(studio: Studio, path: File, phrases: Phrases) -> Deed:
    """Every lot of a sheet that has something under `counted`. Raises Slip with the row."""
    wishes: dict[str, list[Wish]] = {}
    told: list[Words] = []
    for row, name, typed in _rows(path, phrases):
        try:
            found = _count(studio, name, typed)
        except Slip as slip:
            what = Said("deed.in_row", file=path.name, row=str(row), what=slip.what)
            raise type(slip)(what, slip.remedy) from None
        told.append(found.said)
        for file, put in found.puts:
            wishes.setdefault(file, []).append(put)
    if not told:
        raise Slip(Said("deed.none_counted", file=path.name), Said("deed.count_with_unit"))
    changes = tuple(change_of(studio, file, each) for file, each in wishes.items())
    return Deed(f"count --sheet {path.name}", changes, tuple(told))


def _rows(path: File, phrases: Phrases) -> Iterator[tuple[int, str, str]]:
    """Row, lot and amount of what was counted; headings are those that the sheet was given."""
    first, *rows = open_table(path).rows or (None,)
    headings = [text_of(cell).strip().casefold() for cell in first.cells] if first else []
    names = [phrases.say(f"stock.count_{word}") for word in ("lot", "counted")]
    if missing := [name for name in names if name.casefold() not in headings]:
        raise Slip(
            Said("deed.no_sheet", file=path.name, heading=missing[0]), Said("deed.make_sheet")
        )
    lot, counted = (headings.index(name.casefold()) for name in names)
    seen: dict[str, int] = {}
    for row in rows:
        name, typed = (text_of(row.at(turn)).strip() for turn in (lot, counted))
        if typed:
            if name in seen:
                what = Said("deed.row_twice", lot=name, row=str(seen[name]))
                what = Said("deed.in_row", file=path.name, row=str(row.number), what=what)
                raise Slip(what, Said("deed.add_up"))
            seen[name] = row.number
            yield row.number, name, typed


def _count(studio: Studio, name: str, typed: str) -> _Count:
    lot = _found(studio, name)
    try:
        there = Fraction(_KINDS[lot.unit].read(typed, studio.habits))
    except Slip as slip:
        raise WrongWish(slip.what, slip.remedy) from None
    flow, lost = studio.flow, Fraction(lot.record.lost or 0)
    holds, drawn = flow.nodes[lot.key].holds, flow.drawn(lot.key)
    if holds is None:
        told = {"used": _said(studio, lot, drawn - lost, typed), "place": lot.place.short}
        raise Slip(Said("deed.never_weighed", lot=name), Said("deed.weigh_it", **told))
    left = holds - drawn
    now_lost = lost + left - there
    sums = {"left": _said(studio, lot, max(left, Fraction(0)), typed), "place": lot.place.short}
    if now_lost < -_SAME:
        raise Slip(Said("deed.more_there", lot=name, **sums), Said("deed.why_more", lot=name))
    if abs(now_lost - lost) < _SAME:
        return _Count(Said("deed.as_written", lot=name, **sums))
    text = amount_text(studio, max(now_lost, Fraction(0)), lot.unit, typed)
    put = Put((*lot.path, "lost"), text, known_words(type(lot.record)))
    said = Said("deed.counted", lot=name, there=typed.strip(), left=sums["left"], lost=text)
    return _Count(said, ((lot.place.file, put),))


def _said(studio: Studio, lot: _Counted, amount: Fraction, typed: str) -> str:
    return amount_text(studio, Fraction(round(amount * 10), 10), lot.unit, typed)


def _found(studio: Studio, name: str) -> _Counted:
    lots = list(_lots(studio.book))
    found = [lot for lot in lots if lot.key.name == name]
    if not found and studio.book.may_have(name, "lots", *_SHELVES, "baths"):
        raise Slip(Said("find.broken", name=name))
    if not found:
        raise Slip(
            Said("unknown.lot", name=name), did_you_mean(name, [lot.key.name for lot in lots])
        )
    if found[1:]:
        places = tuple(lot.place.short for lot in found)
        raise Slip(Said("deed.two_lots", lot=name, places=places), Said("deed.lost_by_hand"))
    return found[0]


_SHELVES = ("fleece", "dyestuffs", "mordants", "yarns", "sundries")


def _lots(book: Book) -> Iterator[_Counted]:
    """Every lot that has an amount, by the name it is asked for."""
    shelves = (
        ("fleece", book.fleece), ("dyestuff", book.dyestuffs), ("mordant", book.mordants),
        ("yarn", book.yarns), ("sundry", book.sundries),
    )  # fmt: skip
    for kind, shelf in shelves:
        for lot in shelf.values():
            name = str(lot.name)
            yield _Counted(Key(kind, name), lot, lot.name.place, (name,))
    for name, dyed in book.dyed.items():
        place, path = dyed.entry.becomes.place, ("dyed", dyed.bath.dyed.index(dyed.entry))
        yield _Counted(Key("dyed", name), dyed.entry, place, path)
