"""How much of a yarn is in the cloth, reckoned from sett, size and count.

In: a piece whose sett is written and whose yarns tell their length. Out: the share of warp or weft
that is in the cloth, as it likely is, and at least and at most. Ends x finished length is the warp
in the cloth but for what it bends: every end is the same length, so each yarn of a warp leaves the
same share over. A sett is of the finished cloth; one counted on the loom was of a wider cloth. The
bends, the drawing in, a sett that is a little off, a fringe: common practice, taken wide.
"""

from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.flow.makeup import composition
from provenance.figures.quotation.cloth import metres_in, role
from provenance.records.book import Book
from provenance.records.pieces import Piece, YarnUse
from provenance.reference.fibres import find_fibre

# How much longer a thread went in than the finished cloth it lies in: at least, likely, at most.
# A warp bends, and what shrinks in the finishing had been longer still: together 13 to 15 % of wool
# (gistyarn.com and therogueweaver.com, on take-up and shrinkage); of linen less (common practice).
BENT = {
    "warp": (Fraction("0.95"), Fraction("1.08"), Fraction("1.20")),
    "firm": (Fraction("0.95"), Fraction("1.03"), Fraction("1.08")),
    "weft": (Fraction("0.95"), Fraction("1.10"), Fraction("1.35")),
}
FIRM = ("plant", "silk")  # fibres that hardly shrink, but for cotton
# How much wider the cloth was on the loom than it is: at least, likely, at most.
DRAWN_IN = (Fraction(1), Fraction("1.06"), Fraction("1.25"))
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
    sett = piece.sett and (piece.sett.ends if name == "warp" else piece.sett.picks)
    wound = metres_in(book, piece, name)
    if piece.size is None or not sett or wound is None or not wound.value:
        return None
    length, width = _along(piece)
    share = Fraction(sett) * length * width / 100 / wound.value
    drawn_in = DRAWN_IN if sett.is_on_loom else (Fraction(1),) * 3
    bent = BENT["firm" if name == "warp" and _is_firm(book, use) else name]
    factors = [each * drawn for each, drawn in zip(bent, drawn_in, strict=True)]
    least, likely, most = (min(Fraction(1), share * factor) for factor in factors)
    if name == "warp" and piece.kind in FRINGED:
        most = min(Fraction(1), most * (1 + FRINGE / length))
    return Share(least, likely, most) if share * factors[0] <= 1 else None


def _is_firm(book: Book, use: YarnUse) -> bool:
    """Whether a yarn is all of fibres that hardly shrink."""
    fibres = [find_fibre(name) for name in composition(book, str(use.lot or ""))]
    return bool(fibres) and all(
        each and each.group in FIRM and each.name != "cotton" for each in fibres
    )


def _along(piece: Piece) -> tuple[Fraction, Fraction]:
    """Length with the warp and width across it, in centimetres."""
    assert piece.size is not None
    sides = Fraction(piece.size.height), Fraction(piece.size.width)
    return sides[::-1] if piece.woven == "sideways" else sides
