"""How much of a yarn is in the cloth, reckoned from sett, size and count.

In: a piece whose sett is written and whose yarns tell their length. Out: the share of warp or weft
that is in the cloth, as it likely is, and at least and at most. Ends x finished length is the warp
in the cloth but for what it bends: every end is the same length, so each yarn of a warp leaves the
same share over. The bends, a sett that is a little off, a fringe: common practice, taken wide.
"""

from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.quotation.cloth import metres_in, role
from provenance.records.book import Book
from provenance.records.pieces import Piece, YarnUse

# How much longer a thread is than the cloth it lies in: at least, likely, at most.
BENT = {
    "warp": (Fraction("0.95"), Fraction("1.03"), Fraction("1.08")),
    "weft": (Fraction("0.95"), Fraction("1.10"), Fraction("1.35")),
}
FRINGED = ("scarf", "shawl", "throw", "blanket")
FRINGE = Fraction(30)  # cm, both ends together, where there may be one


@dataclass(frozen=True, slots=True)
class Share:
    """What share of a yarn is in the cloth."""

    least: Fraction
    likely: Fraction
    most: Fraction


def share_in_cloth(book: Book, piece: Piece, use: YarnUse) -> Share | None:
    """The share of one yarn that is in the cloth; None where the record does not tell.

    A weft is reckoned only where the piece was not weighed: its bends vary more than a scale errs.
    """
    name = role(str(use.use)) or "weft"
    roles = {role(str(each.use)) or "weft" for each in piece.yarns}
    if name not in BENT or not roles <= set(BENT) or (name == "weft" and piece.weight):
        return None
    lying, wound = _lying(piece, name), metres_in(book, piece, name)
    if lying is None or wound is None or not wound.value:
        return None
    share = lying / wound.value
    least, likely, most = (min(Fraction(1), share * bent) for bent in BENT[name])
    if name == "warp" and piece.kind in FRINGED:
        most = min(Fraction(1), most * (1 + FRINGE / _along(piece)[0]))
    return Share(least, likely, most) if share * BENT[name][0] <= 1 else None


def _lying(piece: Piece, name: str) -> Fraction | None:
    """Metres of straight thread in the finished cloth: ends x length, picks x width."""
    sett = piece.sett and (piece.sett.ends if name == "warp" else piece.sett.picks)
    if piece.size is None or not sett:
        return None
    length, width = _along(piece)
    return Fraction(sett) * length * width / 100


def _along(piece: Piece) -> tuple[Fraction, Fraction]:
    """Length with the warp and width across it, in centimetres."""
    assert piece.size is not None
    sides = Fraction(piece.size.height), Fraction(piece.size.width)
    return sides[::-1] if piece.woven == "sideways" else sides
