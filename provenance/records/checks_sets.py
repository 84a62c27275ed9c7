"""Whether what is written of sets and editions fits together.

In: the book. Out: a remark, with its place, for each sale that does not say how many, each set that
is sold and has no sale for some of it, numbers at places that are not those that are left, a number
that no studio makes alike, words that are no edition.
"""

import re
from collections.abc import Iterator

from provenance.problems import Place, Problem, Said
from provenance.records.book import Book
from provenance.records.pieces import Piece
from provenance.records.sets import ONLY_ONE, Places

Found = Iterator[Problem]
MANY = 500  # more like things than one person weaves, sews and finishes for one record
_EDITION = re.compile(r"\d+\s*(?:of|/|von)\s*\d+|\b(?:edition|auflage|series|serie)\b|\ba\.?p\b")


def check_sets(book: Book) -> Found:
    """Sets, their sales and their places; editions."""
    for piece in book.pieces.values():
        yield from _sales(piece)
        yield from _places(piece)
        if piece.makes and piece.makes > MANY:
            said = Said("sense.many", number=piece.number, made=piece.made)
            yield _remark(piece.makes.place, said, Said("sense.one_record"))
        edition = " ".join(str(piece.edition or "").casefold().rstrip(".").split())
        if piece.edition and edition not in ONLY_ONE and not _EDITION.search(edition):
            said = Said("sense.edition", edition=piece.edition)
            yield _remark(piece.edition.place, said, Said("sense.write_edition"))


def _remark(place: Place, what: Said, remedy: Said) -> Problem:
    return Problem(place, what, remedy, is_remark=True)


def _sales(piece: Piece) -> Found:
    number, made, sale = piece.number, piece.made, piece.sale
    if sale and not sale.items and made > 1:
        said = Said("sense.sale_of_set", number=number, made=made)
        yield _remark(sale.record_place, said, Said("sense.write_items", made=made))
    sold = sum(each.count for each in piece.sold)
    if piece.status and piece.status.state == "sold" and 0 < sold < made:
        said = Said("sense.unsold", number=number, sold=sold, made=made)
        yield _remark(piece.status.place, said, Said("sense.write_all_sales"))


def _places(piece: Piece) -> Found:
    """The numbers at several places are those that are left."""
    there = sum(piece.standing.values())
    if isinstance(piece.at, Places) and piece.left and there != piece.left:
        said = Said("sense.places", number=piece.number, there=there, left=piece.left)
        yield _remark(piece.at.place, said, Said("sense.count_places", number=piece.number))
