"""Works hung in rows of one height, whole, without script: how wide each is for its height.

In: pieces in their order. Out: `Hung`s for the templates. On a wide page a picture grows with
`wide`, its width for a height of one, so that the pictures of a row end at one height whatever
their forms; on a phone two stand in a row, and `two` is a picture's part of it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from provenance.site.shown import ShownPiece

NARROWEST = 0.28  # of a row on a phone: 80 px, enough for a number and a price


@dataclass(frozen=True, slots=True)
class Hung:
    """One piece on the wall."""

    piece: ShownPiece
    wide: float
    two: float


def hung(pieces: Sequence[ShownPiece]) -> tuple[Hung, ...]:
    """The pieces of a list on its wall, in their order."""
    return tuple(
        Hung(piece, round(wide, 4), round(wide / of_row, 4))
        for row in _by_two(pieces)
        for of_row in [_of_row(row)]
        for piece, wide in row
    )


Row = list[tuple[ShownPiece, float]]


def _by_two(pieces: Sequence[ShownPiece]) -> Iterator[Row]:
    """Two to a row; one alone at the end, or where two would leave too little to one of them."""
    row: Row = []
    for each in pieces:
        wide = width_of(each)
        if row and min(row[0][1], wide) / (row[0][1] + wide) < NARROWEST:
            yield row
            row = []
        row.append((each, wide))
        if len(row) == 2:
            yield row
            row = []
    if row:
        yield row


def _of_row(row: Row) -> float:
    """What the widths of a row are held against; one alone takes half, or all if it is wide."""
    if len(row) == 2:
        return row[0][1] + row[1][1]
    return max(row[0][1], min(2 * row[0][1], 1.6))


def width_of(piece: ShownPiece) -> float:
    """A picture's width for a height of one; a piece without one has a square."""
    whole = piece.lead.largest if piece.lead else None
    return whole.width / whole.height if whole else 1.0
