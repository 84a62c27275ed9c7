"""Where the things of a set stand, `at: {harbour-gallery: 2, studio: 4}`, when some of them go.

In: a piece, how many go, from where. Out: wishes for its `at`. The numbers are those that are left,
or those that were put there, of which what was sold there is gone (`records.sets`): a move writes
those that are left.
"""

from collections import Counter
from collections.abc import Mapping
from typing import NoReturn

from provenance.problems import Said, Slip, Words
from provenance.records.patch import Put, Wish
from provenance.records.pieces import Piece
from provenance.records.reading import known_words
from provenance.records.sets import Places


def after_sale(piece: Piece, at: Places, place: str, items: int) -> tuple[list[Wish], list[Words]]:
    """What a sale at a place changes, and what is to be said: nothing where the numbers are those
    that were put there; where none stood, only the maker knows which place they came from."""
    sold = Counter({place: items})
    for sale in piece.sold:
        sold[str(sale.at or "")] += sale.count
    left, standing = piece.left - items, piece.standing
    then = at.standing(left, sold)
    if standing.get(place, 0) < items:
        told: dict[str, Words] = {"left": str(left), "place": at.place.short}
        there = sum(then.values())
        said = Said("deed.then_miscounted", there=str(there), **told)
        return [], [said] if there != left else []
    here = standing[place] - items
    others = {name: count for name, count in standing.items() if name != place}
    if then == ({**others, place: here} if here else others):
        return [], []
    return [Put(("at", place), str(here)) if here else _put(others)], []


def moved(piece: Piece, source: str, target: str) -> Wish:
    """All that stand at one place go to another. Raises Slip where the numbers do not add up."""
    standing = piece.standing
    if (there := sum(standing.values())) != piece.left:
        told: dict[str, Words] = {"there": str(there), "left": str(piece.left)}
        remedy = Said(
            "deed.mend_at", place=piece.places[0].place.short, outlet=target, left=piece.left
        )
        raise Slip(Said("deed.miscounted", number=str(piece.number), **told), remedy)
    counts = Counter({name: count for name, count in standing.items() if name != source})
    counts[target] += standing[source]
    return _put(counts)


def refuse_several(piece: Piece, remedy: str) -> NoReturn:
    """Slip for a set that stands at several places, of which one has to be said."""
    places = tuple(f"{name} ({count})" for name, count in piece.standing.items())
    what = Said("deed.which_place", number=str(piece.number), places=places)
    raise Slip(what, Said(f"deed.{remedy}", outlet=next(iter(piece.standing))))


def _put(counts: Mapping[str, int]) -> Wish:
    written = {name: str(count) for name, count in counts.items()}
    return Put(("at",), written, known_words(Piece))
