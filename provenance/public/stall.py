"""What is told across a stall of a piece: what another like it would be asked for, how it stands.

In: the view and worked-out pieces. Out: `Offered`, ready words. The price of another is what the
maker's own quotation reads as "by area": in proportion to the piece it stands beside, rounded up as
the studio's prices are, so that it never contradicts the tag. What full pay would come to stays
with the maker. Weeks rest on hours, and are told as on the stand card: only of a sort of which
enough pieces have told theirs. Where the records can't say, nothing is said.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from provenance.figures.quotation.card import like_piece, too_few
from provenance.figures.quotation.quote import Option, quote
from provenance.figures.working import half_up, rounded, rounded_up
from provenance.problems import NOWHERE, Slip
from provenance.public.view import View
from provenance.records.amounts import Size
from provenance.records.lots import Outlet
from provenance.records.pieces import Piece
from provenance.records.quantities import Centimetres
from provenance.reference.measures import INCH
from provenance.studio import Worked

_SIDES = (Fraction(3, 4), Fraction(1), Fraction(5, 4))  # of the piece's own: three sizes (ours)
_FINE = 50  # a side below is told to the whole centimetre or inch, above in fives


@dataclass(frozen=True, slots=True)
class Another:
    """Another like it in one size, ready words; `weeks` is empty where the records can't say."""

    size: str
    price: str
    weeks: str


@dataclass(frozen=True, slots=True)
class Offered:
    """A piece at a stall; `until` is the last day of its reservation, where it is reserved so;
    `sold` how many of it the records have as sold there, by day."""

    others: tuple[Another, ...]
    until: date | None
    sold: Mapping[date, int]

    @property
    def has_weeks(self) -> bool:
        return any(each.weeks for each in self.others)


def offered(view: View, outlet: Outlet, worked: Sequence[Worked]) -> dict[str, Offered]:
    """By number: what is told of each piece across the stall of an outlet."""
    told = _Others(view)
    found = ((each.number, each.record) for each in worked)
    return {
        number: Offered(tuple(told.of(piece)), _until(piece), _sold(piece, str(outlet.name)))
        for number, piece in found
    }


def deposit_of(view: View) -> str:
    """The studio's words about deposits, as every quotation has them; '' where there are none."""
    return " ".join(str(view.book.studio.deposit or "").split())


def _until(piece: Piece) -> date | None:
    return piece.status.until if piece.status else None


def _sold(piece: Piece, outlet: str) -> Mapping[date, int]:
    found = Counter[date]()
    for sale in piece.sold:
        if str(sale.at or "") == outlet:
            found[sale.on] += sale.count
    return found


class _Others:
    """Works out what others would be asked for; knows which sorts say nothing of weeks."""

    def __init__(self, view: View) -> None:
        self._view, studio = view, view.studio
        few = too_few(studio.book, studio.flow, studio.today)
        self._few = {(kind, structure) for kind, structure, _ in few}

    def of(self, piece: Piece) -> Iterator[Another]:
        """Another in three sizes, smallest first; none where price, size or yarn are not known."""
        if piece.size is None or piece.price is None or piece.size.depth is not None:
            return
        studio, unit = self._view.studio, INCH if self._view.phrases.is_american else Fraction(1)
        sizes = dict.fromkeys(_scaled(piece.size, share, unit) for share in _SIDES)
        commission = like_piece(piece, tuple(sizes))
        try:
            found = quote(studio.book, studio.flow, commission, studio.today, studio.swatches)
        except Slip:
            return
        is_told = (str(piece.kind), str(piece.structure or "")) not in self._few
        for option in found.options:
            if option.as_like is not None:
                yield self._told(option, with_weeks=is_told)

    def _told(self, option: Option, *, with_weeks: bool) -> Another:
        phrases, step = self._view.phrases, self._view.book.studio.prices.round_up_to
        assert option.as_like is not None
        price = rounded_up(option.as_like, step) if step else rounded(option.as_like)
        weeks = ""
        if option.weeks and with_weeks:
            weeks = phrases.say("stand_card.weeks", number=int(half_up(option.weeks.value, 0)))
        return Another(phrases.size(option.size), phrases.money(price.value), weeks)


def _scaled(size: Size, share: Fraction, unit: Fraction) -> Size:
    """A size with sides in proportion, in round centimetres or inches; its own as it is."""
    if share == 1:
        return size
    sides = (_round(Fraction(side) * share / unit) * unit for side in (size.height, size.width))
    height, width = (Centimetres(side, NOWHERE, "") for side in sides)
    return Size(height, width, None, NOWHERE, "")


def _round(side: Fraction) -> Fraction:
    step = 1 if side < _FINE else 5
    return Fraction(max(1, int(half_up(side / step, 0)))) * step
