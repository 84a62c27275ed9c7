"""Whether the hours can be meant: activities misspelt, days too long, ten times too many.

In: the book. Out: remarks at the hours. A word is a slip only where it stands once, and is nearly a
word of the pay, of the trade or of other records: an own activity is nobody's business. Hours are
too many where a day has more than sixteen, where an activity took more than six times as long for
its size as it ever did in three pieces or more of that kind, or, with fewer to hold it against,
where it took more than 400 hours and more than 400 for a square metre: the finest tapestry takes
that (limits ours).
"""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from difflib import get_close_matches
from fractions import Fraction
from functools import cache, partial

from provenance.problems import Place, Problem, Said, named, sort
from provenance.records.amounts import Spent
from provenance.records.book import Book
from provenance.records.pieces import Piece
from provenance.records.text import Written

Found = Iterator[Problem]
ACTIVITIES = (
    "gathering", "sorting", "picking", "scouring", "washing", "combing", "carding", "blending",
    "spinning", "plying", "skeining", "winding", "extracting", "mordanting", "sampling", "dyeing",
    "rinsing", "design", "warping", "dressing", "weaving", "knotting", "fringe", "fringing",
    "sewing", "making up", "fulling", "finishing", "making",
)  # fmt: skip
# Words of other work that are nearly one of those.
_NO_SLIPS = (
    "knitting", "pressing", "binding", "cording", "pinning", "wrapping", "sleying", "signing",
    "packing", "painting", "mending", "bending", "beaming", "steaming", "lashing", "mashing",
    "skinning", "kneading", "ringing", "raking", "baking", "airing",
)  # fmt: skip
_NEAR = 0.82
_LONGEST_DAY = 16
_TIMES, _ENOUGH = 6, 3
Paces = Callable[[str, str], list[tuple[Fraction, str]]]
_MANY, _FINEST = 400, Fraction(400, 10_000)  # hours; hours for a square centimetre


def check_activities(book: Book) -> Found:
    """An activity that stands once and is nearly another one."""
    hours = list(_all_hours(book))
    counted = Counter(str(word) for spent in hours for word in spent)
    paid = {str(word) for rates in book.studio.pay for word in rates.by} - {"any"}
    own = {word for word, count in counted.items() if count > 1}
    known = {*ACTIVITIES, *paid, *own}
    for word in (Written.of(word) for spent in hours for word in spent):
        if word in known or word.lower() in _NO_SLIPS or counted[str(word)] > 1:
            continue
        if near := get_close_matches(str(word).lower(), sorted(known), 1, _NEAR):
            what = Said("sense.activity", word=str(word))
            yield Problem(word.place, what, Said("problem.near", near=near[0]), is_remark=True)


def _all_hours(book: Book) -> Iterator[Mapping[Written, Spent]]:
    for piece in book.pieces.values():
        yield piece.hours
        yield from (use.hours for use in piece.yarns)
        if piece.shared:
            yield piece.shared.hours
    lots = (book.fleece, book.dyestuffs, book.mordants, book.yarns)
    yield from (lot.hours for shelf in lots for lot in shelf.values())
    yield from (bath.hours for bath in book.baths.values())


def check_long_days(book: Book) -> Found:
    """Nobody weaves for more than sixteen hours a day."""
    for piece in book.pieces.values():
        days: dict[date, Fraction] = {}
        for line in (line for spent in piece.hours.values() for line in spent.log):
            before = days.get(line.on, Fraction(0))
            days[line.on] = before + line.hours
            if before <= _LONGEST_DAY < days[line.on]:
                told = {"number": piece.number, "day": line.on.isoformat()}
                yield _remark(line.hours.place, Said("sense.long_day", **told), "look_at_log")


def check_many_hours(book: Book) -> Found:
    """Ten times what such a piece takes is a point that slipped."""
    paces = cache(partial(_paces, book))
    for piece in book.pieces.values():
        for activity, spent in piece.hours.items():
            if not spent.log and _is_far_off(paces, piece, activity, spent.hours):
                told = {"number": piece.number, "activity": named("activity", activity)}
                hours = Said("form.ungrouped", value=spent.hours, places=2)
                said = Said("sense.many_hours", hours=hours, kind=sort(str(piece.kind)), **told)
                yield _remark(spent.hours.place, said, "meant_hours")


def _is_far_off(paces: Paces, piece: Piece, activity: str, hours: Fraction) -> bool:
    if piece.size is None or not piece.kind or hours <= _MANY / 10:
        return False
    known = paces(str(piece.kind), str(activity))
    hours /= piece.made
    each = hours / piece.size.area
    if len(known) > _ENOUGH:  # itself and enough others
        longest = next(pace for pace, number in known if number != piece.number)
        return each > _TIMES * longest
    return hours > _MANY and each > _FINEST


def _paces(book: Book, kind: str, activity: str) -> list[tuple[Fraction, str]]:
    """Hours an activity took for a square centimetre of each piece of a kind, the most first."""
    word = Written(activity)
    found = [
        (piece.hours[word].hours / (piece.size.area * piece.made), str(piece.number))
        for piece in book.pieces.values()
        if piece.kind == kind and piece.size and word in piece.hours
    ]
    return sorted(found, reverse=True)


def _remark(place: Place, what: Said, remedy: str) -> Problem:
    return Problem(place, what, Said(f"sense.{remedy}"), is_remark=True)
