"""Works as papers of outlets, shows and catalogues have them, and what is wrong with some.

In: the border, records of pieces; photos that could not be shown. Out: public facts, and problems
at the places that the maker knows: one work that can't be told holds up none of the others.
"""

from collections.abc import Iterable, Iterator, Sequence

from provenance.problems import Problem, Said, Slip
from provenance.public.border import Border
from provenance.public.piece import PublicPiece
from provenance.records.pieces import Piece
from provenance.studio import Studio


def facts_of(
    border: Border, pieces: Sequence[Piece]
) -> tuple[tuple[PublicPiece, ...], list[Problem]]:
    """Pieces with their facts; one whose facts can't be told holds up none of the others."""
    found, problems = [], []
    for piece in pieces:
        try:
            found.append(border.piece(str(piece.number)))
        except Slip as slip:
            named = {"number": str(piece.number), "title": str(piece.title)}
            what = Said("outlet.left_out", what=slip.what, **named)
            problems.append(Problem(piece.number.place, what, slip.remedy))
    if not found:
        raise Slip(problems[0].what, problems[0].remedy)
    return tuple(found), problems


def of_photos(studio: Studio, slips: Iterable[tuple[str, str, Slip]]) -> Iterator[Problem]:
    """Photos that can't be shown (number of the piece, file, why), told where they are named."""
    for number, file, slip in slips:
        place = studio.piece(number).record.place_of(file)
        yield Problem(place, slip.what, slip.remedy)
