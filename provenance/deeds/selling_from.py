"""`sell --from`: what was ticked at a stall goes into the records.

In: the studio, the lines of a stall, file by file. Out: a `Deed` over all records it changes, taken
back at once; or what is wrong, line by line, and then nothing is written. A sale that a record has
already is said and skipped. What may well be right but is not as the records lead one to expect
(another price than on the tag, a day when the fair was not, a piece that stands elsewhere or is
reserved, a line that another file has too) is a doubt: it holds the deed up until the maker says
that it is meant.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction
from functools import partial
from itertools import chain

from provenance.deeds.deed import Deed, change_of
from provenance.deeds.selling import kept_of, left_of, refuse_sale, sale_wishes
from provenance.deeds.stall_lines import FREED, Brought
from provenance.deeds.sums import money_text, paid_price
from provenance.problems import NOWHERE, Place, Problem, Said, Slip, Words, did_you_mean
from provenance.records.lots import Outlet
from provenance.records.patch import Put, Value, Wish
from provenance.records.pieces import FOR_SALE, Piece
from provenance.records.reading import known_words
from provenance.studio import Studio

_Sold = tuple[date | None, Fraction | None]


@dataclass(slots=True)
class Homecoming:
    """What lines come to: wishes by record, what is said, what is wrong, what is doubted; `again`
    has, by the place of a sale, where an earlier file has the same."""

    studio: Studio
    wishes: dict[str, list[Wish]] = field(default_factory=dict)
    told: list[Words] = field(default_factory=list)
    mistakes: list[Problem] = field(default_factory=list)
    doubts: list[Problem] = field(default_factory=list)
    again: dict[Place, Place] = field(default_factory=dict)

    def deed(self, words: str) -> Deed:
        """All of it as one deed. Raises Slip where a record can't be changed safely."""
        changes = (change_of(self.studio, file, each) for file, each in self.wishes.items())
        return Deed(words, tuple(changes), tuple(self.told))


def bring_home(studio: Studio, files: Sequence[Sequence[Brought]]) -> Homecoming:
    """What the lines of a stall, one list for each file, change, piece by piece."""
    home = Homecoming(studio, again=_again(files))
    by_number: dict[str, list[Brought]] = {}
    for line in chain.from_iterable(files):
        by_number.setdefault(line.number, []).append(line)
    for number, own in by_number.items():
        for line in own[:1]:
            if found := _known(home, line, number):
                _bring(home, *found, own)
    home.mistakes.sort()
    return home


def _again(files: Sequence[Sequence[Brought]]) -> dict[Place, Place]:
    """Sales that an earlier file has word for word: two phones, or one phone brought home twice."""
    seen: dict[Brought, Place] = {}
    again: dict[Place, Place] = {}
    for lines in files:
        own = {replace(line, place=NOWHERE): line.place for line in reversed(lines)}
        again |= {
            line.place: seen[same]
            for line in lines
            if (same := replace(line, place=NOWHERE)) in seen
        }
        seen = own | seen
    return again


def _known(home: Homecoming, line: Brought, number: str) -> tuple[Piece, Outlet] | None:
    """The piece and the outlet that a line names; None where one of them is nobody's."""
    try:
        return home.studio.piece(number).record, _outlet(home.studio, line.outlet)
    except Slip as slip:
        home.mistakes.append(Problem(line.place, slip.what, slip.remedy))
        return None


def _outlet(studio: Studio, asked: str) -> Outlet:
    if not asked:
        raise Slip(Said("sell_from.which_stall"), Said("sell_from.say_stall"))
    named = {str(name).lower(): outlet for name, outlet in studio.book.outlets.items()}
    if asked.lower() not in named:
        known = did_you_mean(asked, studio.book.outlets)
        raise Slip(Said("find.no_outlet", name=asked), known)
    return named[asked.lower()]


def _bring(home: Homecoming, piece: Piece, outlet: Outlet, lines: Sequence[Brought]) -> None:
    sold = [each for each in lines if each.price is not None]
    kept = [each for each in lines if each.price is None]
    for line in lines:
        if line.outlet != lines[0].outlet:
            what = Said("sell_from.two_stalls", number=line.number)
            home.mistakes.append(Problem(line.place, what, Said("sell_from.one_stall")))
            return
    new = _not_written(home, piece, outlet, sold)
    if new and _may_be(home, piece, new):
        _sell(home, piece, outlet, new)
    elif kept and not sold:
        _reserve(home, piece, kept[-1])
    home.doubts += [each for line in new for each in _doubts(home, piece, outlet, line)]


def _not_written(
    home: Homecoming, piece: Piece, outlet: Outlet, lines: Sequence[Brought]
) -> list[Brought]:
    """The sales that the record does not have yet; of the others it is said.

    Two at once are the same as one and one: what counts is how many went on a day for a price.
    """
    there = [sale for sale in piece.sold if sale.at == outlet.name]
    alike = {(sale.on, sale.price, sale.count) for sale in there}
    written = Counter[_Sold]()
    for sale in there:
        written[sale.on, sale.price] += sale.count
    new = []
    for line in sorted(lines, key=lambda one: (one.on, one.price, one.items) not in alike):
        had = min(written[line.on, line.price], line.items)
        written[line.on, line.price] -= had
        if had:
            home.told.append(_said_written(line, had))
        if had < line.items:
            new.append(replace(line, items=line.items - had))
    return new


def _said_written(line: Brought, had: int) -> Said:
    told: dict[str, Words] = {"place": line.place.short, "number": line.number}
    if had < line.items:
        return Said("sell_from.written_some", had=str(had), items=str(line.items), **told)
    return Said("sell_from.written", **told)


def _may_be(home: Homecoming, piece: Piece, lines: Sequence[Brought]) -> bool:
    """Whether all that is new of a piece can have been sold; what can't is a mistake."""
    count = len(home.mistakes)
    so_far = 0
    for line in lines:
        so_far += line.items
        home.mistakes += _mistake(line, partial(_check, home.studio, piece, line))
        if piece.made == 1 and so_far > 1 and line.items == 1:
            first = Said("sell_from.twice", number=line.number, place=lines[0].place.short)
            home.mistakes.append(Problem(line.place, first, Said("sell_from.leave_one")))
    if len(home.mistakes) == count and so_far > left_of(piece):
        last = lines[-1]
        on = last.on or home.studio.today
        home.mistakes += _mistake(last, partial(refuse_sale, home.studio, piece, on, so_far))
    return len(home.mistakes) == count


def _mistake(line: Brought, check: Callable[[], object]) -> Iterator[Problem]:
    try:
        check()
    except Slip as slip:
        yield Problem(line.place, slip.what, slip.remedy)


def _check(studio: Studio, piece: Piece, line: Brought) -> None:
    assert line.on is not None and line.price is not None, "a sale has a day and a price"
    paid_price(studio, line.price, str(float(line.price)))
    refuse_sale(studio, piece, line.on, line.items)


def _sell(home: Homecoming, piece: Piece, outlet: Outlet, lines: Sequence[Brought]) -> None:
    sales = [_sale(home.studio, outlet, line) for line in lines]
    items = sum(line.items for line in lines)
    wishes, said = sale_wishes(piece, sales, str(outlet.name), items)
    home.wishes.setdefault(piece.number.place.file, []).extend(wishes)
    for line in lines:
        price = Said("form.money", value=(line.price or Fraction(0)) * line.items)
        told = {"number": line.number, "title": str(piece.title), "outlet": str(outlet.name)}
        way = Said(f"sell_from.{line.way}")
        if line.items > 1:
            home.told.append(
                Said("sell_from.sold", items=str(line.items), price=price, way=way, **told)
            )
        else:
            home.told.append(Said("sell_from.sold_one", price=price, way=way, **told))
    home.told += said


def _sale(studio: Studio, outlet: Outlet, line: Brought) -> dict[str, Value]:
    """The words of a sale, as `sell` writes them."""
    assert line.on is not None and line.price is not None, "a sale has a day and a price"
    kept = kept_of(studio, outlet, line.price * line.items, by_card=line.way == "card")
    sale: dict[str, Value] = {
        "on": line.on.isoformat(),
        "price": money_text(studio, line.price),
        "at": str(outlet.name),
    }
    if line.items > 1:
        sale["items"] = str(line.items)
    return sale | {"kept back": money_text(studio, kept, exact=bool(kept))}


def _reserve(home: Homecoming, piece: Piece, line: Brought) -> None:
    """A reservation or its end, unless the record has it, or the piece was sold since."""
    told: dict[str, Words] = {"number": line.number, "place": line.place.short}
    status = piece.status
    if piece.state == "sold":
        home.told.append(Said("sell_from.sold_since", **told))
    elif line.way == FREED and piece.state != "reserved":
        home.told.append(Said("sell_from.not_reserved", **told))
    elif line.way == FREED:
        _put_status(home, piece, line, "available")
    elif status and status.state == "reserved" and status.until == line.on:
        home.told.append(Said("sell_from.reserved_already", **told))
    elif piece.made > 1 or piece.state not in FOR_SALE:
        key = "no_set" if piece.made > 1 else "no_reserving"
        what = Said(f"sell_from.{key}", number=line.number, state=piece.state)
        home.mistakes.append(Problem(line.place, what, Said("sell_from.by_hand")))
    else:
        words = f"reserved until {line.on.isoformat()}" if line.on else "reserved"
        _put_status(home, piece, line, words)
        if line.on and line.on < home.studio.today:
            home.doubts.append(Problem(line.place, Said("sell_from.past", day=line.on)))


def _put_status(home: Homecoming, piece: Piece, line: Brought, words: str) -> None:
    wish = Put(("status",), words, known_words(Piece))
    home.wishes.setdefault(piece.number.place.file, []).append(wish)
    said = Said("sell_from.reserves", title=str(piece.title), words=words, number=line.number)
    home.told.append(said)
    then = Said("sell_from.is_free") if line.way == FREED else _reserved(line.on)
    home.doubts += _promised(piece, line, home.studio.today, then)


def _promised(piece: Piece, line: Brought, on: date | None, then: Said) -> Iterator[Problem]:
    """The doubt about what the record still reserves for somebody on a day."""
    until = piece.status.until if piece.status else None
    if piece.state == "reserved" and (not until or not on or on <= until):
        what = Said("sell_from.promised", number=line.number, reserved=_reserved(until), then=then)
        yield Problem(line.place, what)


def _reserved(until: date | None) -> Said:
    return Said("sell_from.is_until", day=until) if until else Said("sell_from.is_reserved")


def _doubts(home: Homecoming, piece: Piece, outlet: Outlet, line: Brought) -> Iterator[Problem]:
    """What may be a slip of the hand in a sale that can be."""
    if line.place in home.again:
        told = {"number": line.number, "place": home.again[line.place].short}
        yield Problem(line.place, Said("sell_from.again", **told), Said("sell_from.leave_file"))
    yield from _promised(piece, line, line.on, Said("sell_from.is_sold"))
    yield from _unlike(home.studio, piece, outlet, line)


def _unlike(studio: Studio, piece: Piece, outlet: Outlet, line: Brought) -> Iterator[Problem]:
    """What is not as the records have price, days and place."""
    named: dict[str, Words] = {"number": line.number}
    if piece.price is not None and line.price != piece.price:
        tag = Said("form.money", value=piece.price)
        paid = Said("form.money", value=line.price)
        yield Problem(line.place, Said("sell_from.other_price", tag=tag, paid=paid, **named))
    span = outlet.dates
    if span and line.on and not span.first <= line.on <= span.last:
        told = {"day": line.on, "first": span.first, "last": span.last}
        yield Problem(line.place, Said("sell_from.not_then", outlet=str(outlet.name), **told))
    kinds = (studio.book.outlets.get(str(name)) for name in piece.places)
    is_there = not piece.places or any(
        each and (each is outlet or each.kind == "studio") for each in kinds
    )
    if not is_there:
        at = tuple(map(str, piece.places))
        what = Said("sell_from.elsewhere", at=at, outlet=str(outlet.name), **named)
        yield Problem(line.place, what)
