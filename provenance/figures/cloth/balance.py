"""The balance of a cloth: what went in is what is in the cloth, and what was left over.

In: a piece with its yarns and what is written of them. Out: `Balance`: grams in the cloth of every
yarn, the least and the most that the record leaves possible, and the mixtures at those ends. What
a yarn left over is written (`waste:`; beside one that has it a yarn without left nothing over,
unless the scale says so); else that of a warp is reckoned from sett, size and count; else it may be
anything from nothing to all of it. A finished weight closes the sum. Where the record leaves a
choice, the warp is taken to have left most, as it does on a loom (common practice).
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from provenance.figures.cloth.reckoned import share_in_cloth
from provenance.figures.fibre.parts import part_grams
from provenance.figures.flow.flow import SCALE_ERROR, SCALE_GRAMS
from provenance.figures.flow.sundries import sundries_of
from provenance.figures.quotation.cloth import role
from provenance.figures.working import Figure, difference, given
from provenance.problems import Said
from provenance.records.book import Book
from provenance.records.pieces import Piece, YarnUse

Grams = tuple[Fraction, ...]  # of each yarn of the piece, in the order of its record
NOTHING = Fraction(0)
LEFT_OVER = Said("shares.left_over")


@dataclass(frozen=True, slots=True)
class Balance:
    """Grams of each yarn: put in, and in the cloth as taken, at least and at most.

    `weighed` is the cloth by the scale, None where the record does not tell; `apart`, by how many
    grams the scale says more (or less) than the yarns as written leave possible.
    """

    put_in: Grams
    cloth: Grams
    least: Grams
    most: Grams
    weighed: Fraction | None
    apart: Fraction

    @property
    def waste(self) -> Fraction:
        """Grams that went in and are not in the cloth."""
        return _sum(self.put_in) - _sum(self.cloth)

    @property
    def is_off(self) -> bool:
        """Whether scale and record disagree by more than a scale errs."""
        return abs(self.apart) > max(_sum(self.put_in) * SCALE_ERROR, SCALE_GRAMS)

    def workings(self, piece: Piece) -> tuple[Figure, ...]:
        """Grams of each yarn in the cloth: what was put in less what was left over."""
        return tuple(
            _working(str(use.use or use.lot or use.fleece), use, self.put_in[turn] - held)
            for turn, (use, held) in enumerate(zip(piece.yarns, self.cloth, strict=True))
        )

    def ends(self, shares: Sequence[Fraction]) -> tuple[Grams, Grams]:
        """The mixtures with the least and the most of what each yarn has such a share of."""
        return self._richest([-share for share in shares]), self._richest(shares)

    def _richest(self, shares: Sequence[Fraction]) -> Grams:
        """Yarns that have much of it at their most, the others at their least."""
        mixed, found = list(self.least), [self.least]
        for turn in sorted(range(len(shares)), key=lambda turn: -shares[turn]):
            mixed[turn] += self._room(turn, mixed)
            found.append(tuple(mixed))
        if self.weighed is not None:
            return found[-1]
        return max(filter(any, found), key=lambda each: _part(each, shares), default=self.most)

    def _room(self, turn: int, mixed: Sequence[Fraction]) -> Fraction:
        room = self.most[turn] - self.least[turn]
        return room if self.weighed is None else min(room, self.weighed - _sum(mixed))


def balance(book: Book, piece: Piece) -> Balance:
    """The balance of one piece."""
    scale = cloth_weight(book, piece)
    bounds = tuple(_bounds(book, piece))
    if scale is not None and not _fits(scale, bounds):
        bounds = tuple(_bounds(book, piece, trusts=False))
    least, likely, most = (
        (tuple(each) for each in zip(*bounds, strict=True)) if bounds else ((),) * 3
    )
    weighed = None if scale is None else min(max(scale, _sum(least)), _sum(most))
    if weighed is not None:
        least, most = _narrowed(least, most, weighed)
    apart = NOTHING if scale is None or weighed is None else scale - weighed
    put_in = tuple(Fraction(use.weight) for use in piece.yarns)
    cloth = likely if weighed is None else _closed(piece, least, most, weighed)
    return Balance(put_in, cloth, least, most, weighed, apart)


def _narrowed(least: Grams, most: Grams, weighed: Fraction) -> tuple[Grams, Grams]:
    """The bounds of each yarn that the whole leaves it: what the others cannot be, it must be."""
    room, need = weighed - _sum(least), _sum(most) - weighed
    return (
        tuple(max(low, high - need) for low, high in zip(least, most, strict=True)),
        tuple(min(high, low + room) for low, high in zip(least, most, strict=True)),
    )


def _fits(scale: Fraction, bounds: Sequence[tuple[Fraction, Fraction, Fraction]]) -> bool:
    """Whether the scale lies between the bounds, within its error where they leave nothing open."""
    low, high = _sum(least for least, *_ in bounds), _sum(most for *_, most in bounds)
    error = max(high * SCALE_ERROR, SCALE_GRAMS) if low == high else NOTHING
    return low - error <= scale <= high + error


def _working(what: str, use: YarnUse, waste: Fraction) -> Figure:
    put_in = given(what, use.weight, "g", use.weight.place)
    if not waste:
        return put_in
    if use.waste is not None:
        return difference(what, put_in, given(LEFT_OVER, waste, "g", use.waste.place))
    left_over = replace(given(LEFT_OVER, waste, "g"), note=Said("shares.left_over_how"))
    return difference(what, put_in, left_over)


def cloth_weight(book: Book, piece: Piece) -> Fraction | None:
    """The finished weight less what parts and sundries weigh that are no cloth of the loom."""
    if piece.weight is None:
        return None
    return piece.weight - sundry_grams(book, piece) - part_grams(piece)


def sundry_grams(book: Book, piece: Piece) -> Fraction:
    """What the sundries of a piece weigh, as far as the record tells."""
    grams = NOTHING
    for name, use in sundries_of(book, piece).items():
        sundry = book.sundries.get(name)
        each = sundry.weighs if sundry and sundry.weighs else Fraction(use.unit == "g")
        grams += each * use
    return grams


def _bounds(
    book: Book, piece: Piece, *, trusts: bool = True
) -> Iterator[tuple[Fraction, Fraction, Fraction]]:
    """Each yarn in the cloth: the least, the likely, the most.

    Not `trusts`: the scale says otherwise than what is reckoned, or left unsaid.
    """
    is_written = any(use.waste is not None for use in piece.yarns)
    for use in piece.yarns:
        whole = Fraction(use.weight)
        kept = whole - (use.waste or 0)
        share = share_in_cloth(book, piece, use) if trusts and not is_written else None
        if use.waste is not None or (is_written and trusts):
            yield kept, kept, kept
        elif share is not None:
            yield whole * share.least, whole * share.likely, whole * share.most
        else:
            yield NOTHING, whole, whole


def _closed(piece: Piece, least: Grams, most: Grams, weighed: Fraction) -> Grams:
    """What is in the cloth by the scale, the warp having left most of the rest over."""
    cloth = list(most)
    for is_warp in (True, False):
        turns = [
            turn
            for turn, use in enumerate(piece.yarns)
            if (role(str(use.use)) == "warp") is is_warp
        ]
        room = _sum(cloth[turn] - least[turn] for turn in turns)
        left_over = min(_sum(cloth) - weighed, room)
        for turn in turns if room else ():
            cloth[turn] -= (cloth[turn] - least[turn]) * left_over / room
    return tuple(cloth)


def _part(mixed: Sequence[Fraction], shares: Sequence[Fraction]) -> Fraction:
    """What share of a mixture something is; none of nothing."""
    whole = _sum(mixed)
    some = _sum(grams * share for grams, share in zip(mixed, shares, strict=True))
    return some / whole if whole else NOTHING


def _sum(grams: Iterable[Fraction]) -> Fraction:
    return sum(grams, NOTHING)
