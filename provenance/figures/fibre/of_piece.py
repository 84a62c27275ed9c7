"""The fibre labels of a piece, from its record.

In: the book and a piece. Out: the label in each market the studio prints for. The rules and their
sources are in `label_us` and `label_eu`.
"""

from provenance.figures.fibre.label_eu import eu_label
from provenance.figures.fibre.label_us import us_label
from provenance.figures.fibre.piecework import FibreLabel, Piecework
from provenance.figures.flow.makeup import fibre_parts
from provenance.figures.flow.sundries import sundries_of
from provenance.records.book import Book
from provenance.records.pieces import Piece

MARKETS = ("UK", "EU", "US")


def piece_labels(book: Book, piece: Piece) -> dict[str, FibreLabel]:
    """Market -> label, for the markets the studio prints for; nothing where no fibre is known.

    Raises Slip for a fibre that nobody knows.
    """
    work = piecework(book, piece)
    if not work.counted():
        return {}
    return {str(market): label(work, str(market)) for market in book.studio.labels_for}


def label(work: Piecework, market: str) -> FibreLabel:
    """The fibre label of a piece in one market. Raises Slip for a fibre that nobody knows."""
    if market not in MARKETS:
        raise ValueError(f"no label rules for {market}; known: {', '.join(MARKETS)}")
    return us_label(work) if market == "US" else eu_label(work, market)


def piecework(book: Book, piece: Piece) -> Piecework:
    """The piece as the label rules see it."""
    used = (book.sundries.get(str(name)) for name in sundries_of(book, piece))
    return Piecework(
        fibre_parts(book, piece),
        str(piece.kind or "other"),
        str(piece.structure or ""),
        has_animal_parts=any(sundry is not None and sundry.animal for sundry in used),
    )
