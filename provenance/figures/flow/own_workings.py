"""How a lot's, bath's or piece's own numbers were reached, where they do not stand in the record.

In: typed records. Out: figures for heat (hours x rate), doses (share x fibre), grease weight
(yarn / yields), logged hours; each down to the line. Work done for several pieces at once is split
by weight, by length (height) or by number: ten towels on one warp, 32 h 15 min, are 3.225 h each.
A set counts with all that it is made of: its weight and length times their number.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cache

from provenance.figures.flow.flow import Key, Workings
from provenance.figures.working import Figure, added, given, product, quotient, total
from provenance.problems import Place, Said, Words, named
from provenance.records.amounts import Dose, Spent
from provenance.records.baths import Bath, Dyeing
from provenance.records.book import Book
from provenance.records.lots import Fleece
from provenance.records.pieces import Piece
from provenance.records.quantities import Rate, Share
from provenance.records.text import Written
from provenance.reference.yields import default_yields

STEPS = ("scoured", "carded", "spun")


class WorkedLater(Mapping[Key | str, Figure]):
    """Workings that are made when somebody asks for one: a check of all records asks for none."""

    def __init__(self, make: Callable[[], Mapping[Key | str, Figure]]) -> None:
        self._make = cache(make)

    def __getitem__(self, name: Key | str) -> Figure:
        return self._make()[name]

    def __iter__(self) -> Iterator[Key | str]:
        return iter(self._make())

    def __len__(self) -> int:
        return len(self._make())


def heat_working(
    owner: Words, rate: Rate | None, steps: Iterable[Dyeing], money: str
) -> Figure | None:
    """Hours on the heat x the rate of the studio file; None where nothing was heated."""
    heats = [step.heat for step in steps if step.heat and step.heat.hours]
    if not rate or not heats:
        return None
    what = Said("flow.heated", what=owner)
    hours = added(what, [given(what, each.hours or 0, "h", each.place) for each in heats], "h")
    each = given(Said("flow.heat"), rate, "an hour", rate.place)
    return product(Said("flow.heat_of", what=owner), hours, each, unit=money)


def dose_working(name: str, dose: Dose, fibre: Figure) -> Figure | None:
    """Share of fibre x dry fibre; None where the dose was weighed."""
    if not isinstance(dose, Share):
        return None
    share = given(Said("flow.of_fibre", what=name), dose, "", dose.place)
    return product(name, share, fibre, unit="g")


def yields_of(fleece: Fleece) -> tuple[Figure, ...]:
    """What each step leaves of a fleece, as shares; assumed by its class where not written."""
    assumed = default_yields(fleece.breed, next(iter(fleece.fibre), "wool"))
    figures = []
    for step in STEPS:
        share, what = getattr(fleece, step), Said(f"flow.{step}", fleece=fleece.name)
        if share is not None:
            figures.append(given(what, share, "", share.place))
        else:
            usual = Fraction(getattr(assumed, step)) / 100
            figures.append(given(Said("flow.assumed", what=what), usual))
    return tuple(figures)


def in_the_grease(fleece: Fleece) -> Said:
    """What weight of a fleece is meant: before scouring."""
    return Said("flow.in_grease", fleece=fleece.name)


def grease_working(fleece: Fleece, yarn: Fraction, place: Place) -> Figure:
    """Grease weight that gives this much yarn: yarn / (scoured x carded x spun)."""
    spun, yields = given(Said("flow.yarn"), yarn, "g", place), yields_of(fleece)
    if any(share.value == 0 for share in yields):
        return spun  # nothing is left of such a fleece; the record wants mending
    return quotient(in_the_grease(fleece), spun, *yields, unit="g")


def spun_working(name: str, parts: Sequence[tuple[Fleece, Fraction, Place]]) -> Figure:
    """Yarn expected of the fleece put in: the sum of grease x yields."""
    spun = [
        product(
            Said("flow.of", what=fleece.name),
            given(in_the_grease(fleece), grease, "g", place),
            *yields_of(fleece),
            unit="g",
        )
        for fleece, grease, place in parts
    ]
    return total(Said("flow.by_yields", what=name), spun, "g")


def fibre_working(name: str, bath: Bath) -> Figure:
    """The dry fibre in a bath: the weights of all that was dyed in it."""
    what = Said("flow.fibre_in", bath=name)
    weights = [
        given(str(entry.becomes), entry.weight, "g", entry.weight.place) for entry in bath.dyed
    ]
    return replace(added(what, weights, "g"), what=what)


def hours_of(spent: Mapping[Written, Spent]) -> dict[str, Fraction]:
    """Hours by activity."""
    return {str(activity): Fraction(each.hours) for activity, each in spent.items()}


def hours_workings(owner: Words, spent: Mapping[Written, Spent]) -> Workings:
    """Hours by activity, each with the line it stands in; a log line by line."""
    return {str(activity): _spent(owner, activity, each) for activity, each in spent.items()}


def _spent(owner: Words, activity: str, spent: Spent) -> Figure:
    named_so, what = named("activity", activity), _hours_of(activity, owner)
    if len(spent.log) < 2:
        return given(what, spent.hours, "h", spent.hours.place)
    logged = [
        given(Said("flow.hours_on", activity=named_so, day=each.on.isoformat()), each.hours, "h",
              each.hours.place)
        for each in spent.log
    ]  # fmt: skip
    return total(what, logged, "h")


def _hours_of(activity: str, owner: Words) -> Said:
    return Said("flow.hours_of", activity=named("activity", activity), what=owner)


def piece_hours(book: Book, piece: Piece, keepers: Iterable[Piece]) -> Workings:
    """Hours by activity, in the order of the record; `keepers` note work done for several."""
    own = hours_workings(str(piece.number), piece.hours)
    found = {str(activity): [figure] for activity, figure in own.items()}
    for keeper in keepers:
        if keeper.shared and is_shared(keeper, piece):
            part = shared_part(book, keeper, piece)
            for activity, spent in keeper.shared.hours.items():
                told, hours = named("activity", activity), spent.hours
                whole = given(Said("flow.shared", activity=told), hours, "h", hours.place)
                said = Said("flow.part_of", activity=told, piece=piece.number)
                found.setdefault(str(activity), []).append(product(said, whole, part, unit="h"))
    return {name: added(_hours_of(name, piece.number), terms, "h") for name, terms in found.items()}


def is_shared(keeper: Piece, piece: Piece) -> bool:
    """Whether `keeper` notes work that was done for a piece as well."""
    shared = keeper.shared
    return shared is not None and (keeper is piece or piece.number in shared.with_)


def shared_part(book: Book, keeper: Piece, piece: Piece) -> Figure:
    """This piece's part of work that `keeper` notes; equal parts where a measure is missing."""
    assert keeper.shared is not None
    numbers = dict.fromkeys([str(keeper.number), *map(str, keeper.shared.with_)])
    sharers = [book.pieces[number] for number in numbers if number in book.pieces]
    measures = {each.number: _measure(each, str(keeper.shared.by)) for each in sharers}
    if any(measure.value == 0 for measure in measures.values()):
        measures = {each.number: _number(each) for each in sharers}
    whole = total(Said("flow.all_sharers"), list(measures.values()))
    return quotient(Said("flow.part", piece=piece.number), measures[piece.number], whole)


def _measure(piece: Piece, by: str) -> Figure:
    if by == "weight":
        weight, said = piece.weight, Said("flow.weight_of", piece=piece.number)
        return _times(piece, given(said, weight or 0, "g", weight.place if weight else None))
    if by == "length":
        size, said = piece.size, Said("flow.length_of", piece=piece.number)
        one = given(said, size.height if size else 0, "cm", size.place if size else None)
        return _times(piece, one)
    return _number(piece)


def _times(piece: Piece, one: Figure) -> Figure:
    """The measure of all that a record is about."""
    return product(one.what, one, _number(piece), unit=one.unit) if piece.makes else one


def _number(piece: Piece) -> Figure:
    return given(piece.number, piece.made, "", (piece.makes or piece.number).place)
