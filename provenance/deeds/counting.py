"""`count`: what a stock count found; the difference is written as lost.

In: the studio, a lot, what is really there. Out: a `Deed` that writes `lost:` into the lot, so that
what came in is again what was used, what is left and what was lost. More than the records leave is
refused: somewhere a use, a weight or a whole lot is not as it was written.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from provenance.deeds.deed import Deed, change_of
from provenance.deeds.sums import amount_text
from provenance.figures.flow.flow import Key
from provenance.problems import Place, Said, Slip, WrongWish, did_you_mean
from provenance.records.baths import DyedYarn
from provenance.records.book import Book
from provenance.records.lots import Dyestuff, Fleece, Mordant, Sundry, Yarn
from provenance.records.patch import Path, Put
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
        return Deed(f"count {name} {typed}", (), (Said("deed.as_written", lot=name, **sums),))
    text = amount_text(studio, max(now_lost, Fraction(0)), lot.unit, typed)
    put = Put((*lot.path, "lost"), text, known_words(type(lot.record)))
    said = Said("deed.counted", lot=name, there=typed.strip(), left=sums["left"], lost=text)
    return Deed(f"count {name} {typed}", (change_of(studio, lot.place.file, [put]),), (said,))


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
