"""Hours spent on a piece itself: its own, and its share of work done for several at once.

In: the book and a piece. Out: a figure for each activity, down to the line of the log. Shared work
is split by weight, by length (height) or by number: ten towels on one warp, 32 h 15 min, are
3.225 h each.
"""

from provenance.figures.flow.flow import Workings
from provenance.figures.flow.own_workings import hours_workings
from provenance.figures.working import Figure, added, given, product, quotient, total
from provenance.problems import Said, named
from provenance.records.book import Book
from provenance.records.pieces import Piece


def piece_hours(book: Book, piece: Piece) -> Workings:
    """Hours by activity, in the order of the record."""
    own = hours_workings(str(piece.number), piece.hours)
    found = {str(activity): [figure] for activity, figure in own.items()}
    for keeper in book.pieces.values():
        if keeper.shared and (keeper is piece or piece.number in keeper.shared.with_):
            part = shared_part(book, keeper, piece)
            for activity, spent in keeper.shared.hours.items():
                said = Said("flow.shared", activity=named("activity", activity))
                whole = given(said, spent.hours, "h", spent.place)
                said = Said("flow.part_of", **said.values, piece=piece.number)
                found.setdefault(str(activity), []).append(product(said, whole, part, unit="h"))
    return {
        name: added(
            Said("flow.hours_of", activity=named("activity", name), what=piece.number), terms, "h"
        )
        for name, terms in found.items()
    }


def shared_part(book: Book, keeper: Piece, piece: Piece) -> Figure:
    """This piece's part of work that `keeper` notes; equal parts where a measure is missing."""
    assert keeper.shared is not None
    numbers = dict.fromkeys([str(keeper.number), *map(str, keeper.shared.with_)])
    sharers = [book.pieces[number] for number in numbers if number in book.pieces]
    measures = {each.number: _measure(each, str(keeper.shared.by)) for each in sharers}
    if any(measure.value == 0 for measure in measures.values()):
        measures = {each.number: _one(each) for each in sharers}
    whole = total(Said("flow.all_sharers"), list(measures.values()))
    return quotient(Said("flow.part", piece=piece.number), measures[piece.number], whole)


def _measure(piece: Piece, by: str) -> Figure:
    if by == "weight":
        weight, said = piece.weight, Said("flow.weight_of", piece=piece.number)
        return given(said, weight or 0, "g", weight.place if weight else None)
    if by == "length":
        size, said = piece.size, Said("flow.length_of", piece=piece.number)
        return given(said, size.height if size else 0, "cm", size.place if size else None)
    return _one(piece)


def _one(piece: Piece) -> Figure:
    return given(piece.number, 1, "", piece.number.place)
