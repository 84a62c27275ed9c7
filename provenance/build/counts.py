"""How many of a piece go on papers and get a tag: of a set those that are left where they hang.

In: the book, a piece, an outlet. Out: a number of things, 1 for a single piece. For a fair that a
set does not name, those that are in the studio.
"""

from provenance.records.book import Book
from provenance.records.lots import Outlet
from provenance.records.pieces import Piece


def is_at(piece: Piece, outlet: Outlet) -> bool:
    """Whether it hangs there, or some of it does; what hangs nowhere is in the studio."""
    if not piece.places:
        return outlet.kind == "studio"
    return str(outlet.name) in piece.places and (items_at(piece, outlet) > 0 or not piece.left)


def items_at(piece: Piece, outlet: Outlet) -> int:
    """How many of those that are left hang there."""
    found = piece.standing.get(str(outlet.name), 0)
    return found + (piece.standing.get("", 0) if outlet.kind == "studio" else 0)


def items_for(book: Book, piece: Piece, outlet: Outlet | None) -> int:
    """How many are told of, and tagged, for an outlet; without one all that are left."""
    if piece.made == 1:
        return 1
    if outlet is None:
        return piece.left
    home = (each for each in book.outlets.values() if each.kind == "studio")
    unplaced = piece.standing.get("", 0) + piece.standing.get("studio", 0)
    in_studio = sum(items_at(piece, each) for each in home) or unplaced
    return items_at(piece, outlet) or in_studio or piece.left
