"""`sell`: a piece was sold; its record says when, for how much, where and to whom.

In: the studio, a number, a price; of a set how many. Out: a `Deed` that writes `sale:`, or a line
under `sales:` of a set, and, where none is left and the status says otherwise, `status: sold`. With it goes what the outlet kept back by its terms of today, so that a
commission that changes later never changes this sale.
"""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from provenance.deeds.deed import Deed, change_of
from provenance.deeds.sums import minor_of, money_text, price_of
from provenance.figures.money.terms import kept_back
from provenance.figures.working import given
from provenance.problems import Said, Slip, Words, WrongWish
from provenance.records.lots import Outlet
from provenance.records.patch import Put, Value, Wish
from provenance.records.pieces import Piece
from provenance.records.reading import known_words
from provenance.studio import Studio


@dataclass(frozen=True, slots=True)
class Wished:
    """What is told of a sale; `at` and `on` are worked out where they are left open."""

    price: str
    at: str | None = None
    on: date | None = None
    to: str | None = None
    items: int | None = None


def sell(studio: Studio, number: str, wished: Wished) -> Deed:
    """The sale of a piece. Raises Slip where it can't have been sold so."""
    piece, price = studio.piece(number).record, price_of(studio, wished.price)
    on, items = wished.on or studio.today, wished.items or 1
    _refuse(studio, piece, on, items)
    outlet = _outlet(studio, piece, wished.at)
    kept = _kept(studio, outlet, price * items)
    sale: dict[str, Value] = {"on": on.isoformat(), "price": _written(studio, wished.price, price)}
    if outlet:
        sale["at"] = str(outlet.name)
    if items > 1:
        sale["items"] = str(items)
    if wished.to:
        sale["to"] = " ".join(wished.to.split())
    if outlet:
        sale["kept back"] = money_text(studio, kept, exact=bool(kept))
    over = _left(piece) - items
    wish = Put if piece.makes is None else Add
    wishes: list[Wish] = [wish((_SALES[wish],), sale, known_words(Piece))]
    if piece.status and piece.status.state != "sold" and not over:
        wishes.insert(0, Put(("status",), "sold"))
    told = [_told(piece, outlet, price, kept, items), *_then_miscounted(piece, sale, over)]
    words = f"sell {number} {wished.price}" + (f" --items {items}" if items > 1 else "")
    return Deed(words, (change_of(studio, piece.number.place.file, wishes),), tuple(told))


def _outlet(studio: Studio, piece: Piece, asked: str | None) -> Outlet | None:
    """Where it was sold: as asked, else where it is; what is nowhere else is in the studio."""
    if name := asked or piece.at:
        return studio.outlet(str(name))
    outlets = studio.book.outlets.values()
    return next((outlet for outlet in outlets if outlet.kind == "studio"), None)


def _refuse(studio: Studio, piece: Piece, on: date, items: int | None) -> None:
    number = str(piece.number)
    refuse_gone(piece)
    if items not in (None, 1):
        raise WrongWish(Said("deed.one_piece", number=number), Said("deed.no_items"))
    if piece.state == "in progress":
        raise Slip(Said("deed.being_made", number=number), Said("deed.finish_first"))
    if on > studio.today:
        today = Said("deed.today_is", day=str(studio.today))
        raise WrongWish(Said("deed.future", day=str(on)), today)
    if piece.finished and on < piece.finished:
        what = Said("deed.before_finished", number=number, day=str(piece.finished))
        raise Slip(what, Said("deed.look_at", place=piece.number.place.short))


def refuse_gone(piece: Piece) -> None:
    """Slip for a piece that was sold, or is no more."""
    number = str(piece.number)
    if piece.sale:
        told: dict[str, Words] = {"day": str(piece.sale.on), "place": piece.sale.record_place.short}
        raise Slip(Said("deed.already_sold", number=number, **told), Said("deed.or_undo"))
    if piece.withdrawn or piece.state == "withdrawn":
        raise Slip(Said("deed.withdrawn", number=number), Said("deed.look_at", place=_where(piece)))


def _where(piece: Piece) -> str:
    place = piece.status.place if piece.status else piece.number.place
    return (piece.withdrawn.place if piece.withdrawn else place).short


def _kept(studio: Studio, outlet: Outlet | None, price: Fraction) -> Fraction:
    if outlet is None:
        return Fraction(0)
    money = given(Said("step.price"), price, str(studio.file.currency))
    return kept_back(money, outlet, studio.file.prices.tax, minor_of(studio)).value


def _written(studio: Studio, typed: str, price: Fraction) -> str:
    """A foreign sum stays as it was typed, with its rate."""
    return typed.strip() if " at " in typed else money_text(studio, price)


def _told(piece: Piece, outlet: Outlet | None, price: Fraction, kept: Fraction) -> Said:
    named = {"number": str(piece.number), "title": str(piece.title)}
    sums = {"price": Said("form.money", value=price), "kept": Said("form.money", value=kept)}
    if outlet is None:
        return Said("deed.sold", **named, price=sums["price"])
    left = Said("form.money", value=price - kept)
    return Said("deed.sold_at", **named, **sums, outlet=str(outlet.name), left=left)
