"""`sell`: a piece was sold; its record says when, for how much, where and to whom.

In: the studio, a number, a price; of a set how many. Out: a `Deed` that writes `sale:`, or a line
under `sales:` of a set, and, where none is left and the status says otherwise, `status: sold`. With
it goes what the outlet kept back by its terms of today, so that a commission that changes later
never changes this sale.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from provenance.deeds.deed import Deed, change_of
from provenance.deeds.standing import after_sale, refuse_several
from provenance.deeds.sums import minor_of, money_text, price_of
from provenance.figures.money.terms import kept_back
from provenance.figures.working import given
from provenance.problems import Said, Slip, Words, WrongWish
from provenance.records.lots import Outlet
from provenance.records.patch import Add, Put, Value, Wish
from provenance.records.pay import CardFee
from provenance.records.pieces import Piece
from provenance.records.reading import known_words
from provenance.records.sets import Places
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
    refuse_sale(studio, piece, on, items)
    outlet = _outlet(studio, piece, wished.at)
    kept = kept_of(studio, outlet, price * items)
    sale = {"on": on.isoformat(), "price": _written(studio, wished.price, price)}
    sale |= _where_sold(outlet, items)
    if wished.to:
        sale["to"] = " ".join(wished.to.split())
    if outlet:
        sale["kept back"] = money_text(studio, kept, exact=bool(kept))
    wishes, said = sale_wishes(piece, [sale], str(outlet.name) if outlet else "", items)
    told = (_told(piece, outlet, price, kept, items), *said)
    words = f"sell {number} {wished.price}" + (f" --items {items}" if items > 1 else "")
    return Deed(words, (change_of(studio, piece.number.place.file, wishes),), told)


def _where_sold(outlet: Outlet | None, items: int) -> dict[str, str]:
    told = {"at": str(outlet.name)} if outlet else {}
    return told | ({"items": str(items)} if items > 1 else {})


def sale_wishes(
    piece: Piece, sales: Sequence[Mapping[str, Value]], place: str, items: int
) -> tuple[list[Wish], list[Words]]:
    """What sales at one place, of so many in all, change in the record; what is to be said."""
    over, order = left_of(piece) - items, known_words(Piece)
    is_set = piece.makes is not None or piece.sales
    wishes: list[Wish] = [
        Add(("sales",), sale, order) if is_set else Put(("sale",), sale, order) for sale in sales
    ]
    if piece.status and piece.status.state != "sold" and not over:
        wishes.insert(0, Put(("status",), "sold"))
    if over and isinstance(piece.at, Places):
        where, said = after_sale(piece, piece.at, place, items)
        return [*wishes, *where], said
    return wishes, []


def _outlet(studio: Studio, piece: Piece, asked: str | None) -> Outlet | None:
    """Where it was sold: as asked, else where it is; what is nowhere else is in the studio."""
    if name := asked or _stands_at(piece):
        return studio.outlet(name)
    outlets = studio.book.outlets.values()
    return next((outlet for outlet in outlets if outlet.kind == "studio"), None)


def _stands_at(piece: Piece) -> str:
    """The one place where it is. Raises Slip for a set that stands at several."""
    if not isinstance(piece.at, Places):
        return str(piece.at or "")
    if len(piece.standing) > 1:
        refuse_several(piece, "say_at")
    return next(iter(piece.standing), "")


def refuse_sale(studio: Studio, piece: Piece, on: date, items: int) -> None:
    """Slip where so many can't have been sold on that day."""
    number = str(piece.number)
    refuse_gone(piece)
    if piece.made == 1 and items > 1:
        raise WrongWish(Said("deed.one_piece", number=number), Said("deed.no_items"))
    _refuse_too_many(piece, items)
    if piece.state == "in progress":
        raise Slip(Said("deed.being_made", number=number), Said("deed.finish_first"))
    if on > studio.today:
        today = Said("deed.today_is", day=str(studio.today))
        raise WrongWish(Said("deed.future", day=str(on)), today)
    if piece.finished and on < piece.finished:
        what = Said("deed.before_finished", number=number, day=str(piece.finished))
        raise Slip(what, Said("deed.look_at", place=piece.number.place.short))


def _refuse_too_many(piece: Piece, items: int) -> None:
    number, left = str(piece.number), left_of(piece)
    if items > left:
        place = piece.sold[0].record_place if piece.sold else piece.number.place
        what = Said("deed.few_left", number=number, left=left, made=piece.made)
        raise Slip(what, Said("deed.see_sales", place=place.short))
    if piece.sale:
        place = piece.sale.record_place
        what = Said("deed.sale_alone", number=number, place=place.short)
        raise Slip(what, Said("record.write_sales"))


def left_of(piece: Piece) -> int:
    """How many can be sold; of what is called sold without a sale, all: it was not written yet."""
    return piece.left or piece.made


def refuse_gone(piece: Piece) -> None:
    """Slip for a piece of which all are sold, or that is no more."""
    number = str(piece.number)
    if piece.sold and not piece.left:
        last = piece.sold[-1]
        told: dict[str, Words] = {"day": str(last.on), "place": last.record_place.short}
        raise Slip(Said("deed.already_sold", number=number, **told), Said("deed.or_undo"))
    if piece.withdrawn or piece.state == "withdrawn":
        raise Slip(Said("deed.withdrawn", number=number), Said("deed.look_at", place=_where(piece)))


def _where(piece: Piece) -> str:
    place = piece.status.place if piece.status else piece.number.place
    return (piece.withdrawn.place if piece.withdrawn else place).short


def kept_of(
    studio: Studio, outlet: Outlet | None, price: Fraction, *, by_card: bool = True
) -> Fraction:
    """What the outlet keeps of a price by its terms of today; of cash no card fee."""
    if outlet is None:
        return Fraction(0)
    terms = outlet if by_card else outlet.model_copy(update={"card_fee": CardFee()})
    money = given(Said("step.price"), price, str(studio.file.currency))
    return kept_back(money, terms, studio.file.prices.tax, minor_of(studio)).value


def _written(studio: Studio, typed: str, price: Fraction) -> str:
    """A foreign sum stays as it was typed, with its rate."""
    return typed.strip() if " at " in typed else money_text(studio, price)


def _told(piece: Piece, outlet: Outlet | None, price: Fraction, kept: Fraction, items: int) -> Said:
    named: dict[str, Words] = {"number": str(piece.number), "title": str(piece.title)}
    named["price"] = Said("form.money", value=price * items)
    of_set = ""
    if piece.made > 1:
        of_set = "_items"
        named |= {"items": str(items), "made": str(piece.made), "over": str(left_of(piece) - items)}
    if outlet is None:
        return Said(f"deed.sold{of_set}", **named)
    named["kept"] = Said("form.money", value=kept)
    named["left"] = Said("form.money", value=price * items - kept)
    return Said(f"deed.sold{of_set}_at", **named, outlet=str(outlet.name))
