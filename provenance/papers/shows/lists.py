"""Lists of a show in hanging order: the checklist, one with insurance values, the price list.

In: works as they hang; for the private list what each is insured for. Out: sheets and the CSV file
beside each. What a work weighs together is a sum of what was weighed, and says of how many; a price
is added only for works that can be bought, one of a set as often as it hangs; where no wall is
known, as often as it is left.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from typing import Any

from provenance.papers.sheets.fair import tax_note
from provenance.papers.sheets.frame import Paper, Slips
from provenance.papers.shows.labels import label_medium
from provenance.papers.shows.room import Room
from provenance.press.codes.qr import Code
from provenance.public.insured import InsuredFor
from provenance.public.piece import PublicPiece
from provenance.public.show import PublicShow
from provenance.public.studio import PublicStudio

_PHOTO_MM = (15.0, 17.0)
_LIST_PHOTO_MM = (24.0, 28.0)
_COLUMNS = ("wall", "number", "title", "year", "medium", "size", "weight", "price", "state",
            "currency")  # fmt: skip


@dataclass(frozen=True, slots=True)
class Sum:
    """A sum in words, '' where there is nothing to add; of how many, where it is not of all."""

    said: str = ""
    some: str = ""


@dataclass(frozen=True, slots=True)
class Sums:
    """What all works come to."""

    count: str
    weight: Sum
    price: Sum
    insured: Sum


def checklist(
    studio: PublicStudio, show: PublicShow, pieces: tuple[PublicPiece, ...], slips: Slips
) -> list[Paper]:
    """Every work with what a gallery checks it by, and its price; no value of insurance."""
    room = Room(studio, pieces, show, slips=slips)
    rows = ([*_cells(room, *hung), studio.currency] for hung in room.hung)
    return _listed(room, "checklist", {}, _COLUMNS, rows)


def private_checklist(room: Room, insured: Mapping[str, InsuredFor]) -> list[Paper]:
    """The same with what each work is insured for, and why so much: for maker and insurer."""
    columns = (*_COLUMNS[:-1], "insurance", "insured for", "currency")
    amount = room.phrases.amount
    rows = (
        [*_cells(room, wall, each), "" if value is None else amount(value),
         insured[each.number].why, room.studio.currency]
        for wall, each in room.hung
        for value in [_value(room, insured, each)]
    )  # fmt: skip
    return _listed(room, "private_checklist", insured, columns, rows)


def _listed(
    room: Room,
    name: str,
    insured: Mapping[str, InsuredFor],
    columns: Sequence[str],
    rows: Iterator[Sequence[str]],
) -> list[Paper]:
    assets: dict[str, bytes | Code] = {}
    values = {
        "photos": {e.number: room.picture(e, _PHOTO_MM, assets) for e in room.pieces},
        "medium": lambda each: label_medium(room, each),
        "price": lambda each: price_words(room, each),
        "insured": _values(room, insured),
        "why": {number: each.why for number, each in insured.items()},
        "sums": sums(room, insured),
        "note": tax_note(room),
        "landscape": bool(insured),
    }
    how: dict[str, Any] = {"template": "checklist", "assets": assets}
    page = room.page(name, room.told(name), values, **how)
    return room.papers(page, columns, rows)


def _values(room: Room, insured: Mapping[str, InsuredFor]) -> dict[str, str]:
    """What each is insured for, written so that it can be read down."""
    values = {e.number: _value(room, insured, e) for e in room.pieces if e.number in insured}
    form = money_in(room, [value for value in values.values() if value is not None])
    return {
        number: room.told("to_agree") if value is None else form(value)
        for number, value in values.items()
    }


def _value(room: Room, insured: Mapping[str, InsuredFor], each: PublicPiece) -> Fraction | None:
    """What a line is insured for."""
    one = insured[each.number].value
    return None if one is None else one * room.items(each)


def money_in(room: Room, column: Sequence[Fraction]) -> Callable[[Fraction], str]:
    """How money is written in a column: with noughts where one of it is not whole."""
    exact = any(value.denominator > 1 for value in column)
    return partial(room.phrases.money, exact=exact)


def price_words(room: Room, each: PublicPiece) -> str:
    """Its price, or how it stands, in a word or two."""
    if each.for_sale:
        return each.price_each or room.phrases.say("state.on_request")
    return room.phrases.say(f"state.{each.state.replace(' ', '_')}")


def sums(room: Room, insured: Mapping[str, InsuredFor]) -> Sums:
    """What all works come to."""
    hung = [each for _, each in room.hung]
    weighed = [each.grams * room.items(each) for each in hung if each.grams]
    priced = [each.amount * room.items(each) for each in hung if each.for_sale and each.amount]
    known = [_value(room, insured, each) for each in hung if each.number in insured]
    values = [value for value in known if value is not None]
    return Sums(
        count=room.phrases.say("show.works", number=len(room.pieces)),
        weight=_sum(room, weighed, room.phrases.mass, "of_weighed"),
        price=_sum(room, priced, money_in(room, priced), "of_for_sale"),
        insured=_sum(room, values, money_in(room, values), "of_valued"),
    )


def _sum(room: Room, parts: Sequence[Fraction], form: Callable[[Fraction], str], some: str) -> Sum:
    if not parts:
        return Sum()
    is_of_all = len(parts) == len(room.hung)
    return Sum(
        form(sum(parts, Fraction(0))), "" if is_of_all else room.told(some, number=len(parts))
    )


def _cells(room: Room, wall: str, each: PublicPiece) -> list[str]:
    """A line of the spreadsheet, but for its currency."""
    priced = each.for_sale and each.amount is not None
    price = room.phrases.amount(each.amount) if priced and each.amount is not None else ""
    state = room.phrases.say(f"state.{each.state.replace(' ', '_')}")
    return [
        wall, each.number, each.title, each.year, label_medium(room, each),
        each.size, each.weight, price, room.phrases.inside(state),
    ]  # fmt: skip


def price_list(
    studio: PublicStudio, show: PublicShow, pieces: tuple[PublicPiece, ...], slips: Slips
) -> list[Paper]:
    """Large type for the desk, as the works hang: boxes to tick when one is reserved or sold."""
    room, assets = Room(studio, pieces, show, slips=slips), dict[str, bytes | Code]()
    values = {
        "photos": {e.number: room.picture(e, _LIST_PHOTO_MM, assets) for e in pieces},
        "medium": lambda each: label_medium(room, each),
        "price": lambda each: price_words(room, each),
        "note": tax_note(room),
    }
    columns = ("wall", "number", "title", "size", "medium", "price", "state", "currency")
    rows = (
        [wall, number, title, size, made, price, state, studio.currency]
        for hung in room.hung
        for wall, number, title, _, made, size, _, price, state in [_cells(room, *hung)]
    )
    return room.papers(
        room.page("price_list", room.say("price_list"), values, assets=assets), columns, rows
    )
