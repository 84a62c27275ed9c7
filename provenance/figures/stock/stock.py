"""What lies in the studio and at its outlets on a day, and what the sold goods cost.

In: the book, its flow and a day. Out: stock by class and place at cost without the maker's own
hours, cost of goods sold between two days (opening + bought - closing), a list for insurance.
Cost is what was paid to others: materials, sundries and heat. Overhead (rent, loom repairs) is not
in it: it is not bought with any one lot, and belongs to the year it was paid in; whether a rule
where you live wants a part of it in the stock is a question for an accountant. Consigned work is
still the maker's. Every item is rounded once, and all sums add the rounded items.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction

from provenance.figures.flow.carried import carried_money
from provenance.figures.flow.flow import Flow, Key, called, in_all, naming
from provenance.figures.money.cost import cost_sheet
from provenance.figures.stock.days import START, Days, finished, flow_on, gone, without_a_day
from provenance.figures.working import (
    Figure,
    added,
    difference,
    given,
    product,
    quotient,
    rounded,
    total,
)
from provenance.problems import Said
from provenance.records.book import Book
from provenance.records.pieces import Piece

RAW, YARN, IN_PROGRESS = "raw materials", "yarn and dyed lots", "in progress"
HERE, AWAY = "finished here", "finished at an outlet"
# Classes as they are in JSON, in their order -> the word under [stock] that is shown.
CLASSES = {RAW: "raw", YARN: "yarn", IN_PROGRESS: "in_progress", HERE: "here", AWAY: "away"}
_CLASS_OF = {
    "fleece": RAW, "dyestuff": RAW, "mordant": RAW, "sundry": RAW,
    "yarn": YARN, "dyed": YARN, "in place": YARN, "bath": YARN,
}  # fmt: skip
_BOUGHT = {
    "fleece": Said("step.fleece"), "yarn": Said("step.yarn"), "heat": Said("flow.heat"),
    "dyestuff": Said("step.dyestuffs"), "mordant": Said("step.mordants"),
    "sundry": Said("step.sundries"),
}  # fmt: skip
_OURS = ("studio", "website")
_CONSIGNED = ("gallery", "guild", "shop", "show")
STUDIO = "studio"


@dataclass(frozen=True, slots=True)
class Item:
    """One lot or piece in stock; `amount` is None for a piece."""

    key: Key
    group: str
    place: str
    amount: Fraction | None
    unit: str
    cost: Figure


@dataclass(frozen=True, slots=True)
class Line:
    """All items of one class at one place."""

    group: str
    place: str
    cost: Figure
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Stock:
    """The stock of a day; `no_day` are lots and pieces whose day is not noted."""

    on: date
    currency: str
    lines: tuple[Line, ...]
    total: Figure
    no_day: tuple[Key, ...]
    left_out: tuple[str, ...]

    @property
    def items(self) -> tuple[Item, ...]:
        """Every item, class by class."""
        return tuple(item for line in self.lines for item in line.items)


def stock_on(book: Book, flow: Flow, day: date) -> Stock:
    """The stock in the evening of a day."""
    days, money = Days(book, flow), str(book.studio.currency)
    groups: dict[tuple[str, str], list[Item]] = {}
    for item in _items(days, flow_on(days, day), day):
        groups.setdefault((item.group, item.place), []).append(item)
    order = sorted(groups, key=lambda each: (list(CLASSES).index(each[0]), each[1]))
    lines = tuple(_line(*each, groups[each], money) for each in order)
    whole = total(Said("step.stock"), [line.cost for line in lines], money)
    ours = {number: piece for number, piece in book.pieces.items() if not piece.earlier}
    left_out = tuple(number for number, piece in ours.items() if gone(piece) == START)
    return Stock(day, money, lines, whole, without_a_day(days), left_out)


def _line(group: str, place: str, items: Sequence[Item], money: str) -> Line:
    where = Said("step.studio") if place == STUDIO else place
    said = Said("step.class_at", group=Said(f"stock.{CLASSES[group]}"), place=where)
    return Line(group, place, total(said, [item.cost for item in items], money), tuple(items))


def _items(days: Days, then: Flow, day: date) -> Iterator[Item]:
    for key, node in then.nodes.items():
        if key.kind in _CLASS_OF:
            cost = _left_cost(days.book, then, key)
            if then.left(key) or cost.value:
                yield Item(key, _CLASS_OF[key.kind], STUDIO, then.left(key), node.unit, cost)
        elif key.kind == "piece":
            piece = days.book.pieces[key.name]
            if piece.earlier:
                continue  # its materials were paid for in years before these books
            left = gone(piece)
            if left is None or left > day:
                group, place = _standing(days, piece, day)
                yield Item(key, group, place, None, "", _piece_cost(days.book, then, key))


def _standing(days: Days, piece: Piece, day: date) -> tuple[str, str]:
    """Class and place of a piece; studio and website are here.

    Records tell one place only, so an earlier day shows the same; what was sold from a gallery or
    shop lay there before, what was sold at a fair came from the studio.
    """
    done = finished(days, piece)
    if done is None or done > day:
        return IN_PROGRESS, STUDIO
    at = str(piece.at or (piece.sale and piece.sale.at) or "")
    outlet = days.book.outlets.get(at)
    if outlet is None:
        return HERE, STUDIO
    is_away = outlet.kind not in _OURS if piece.at else outlet.kind in _CONSIGNED
    return (AWAY, at) if is_away else (HERE, STUDIO)


def _piece_cost(book: Book, then: Flow, key: Key) -> Figure:
    """The materials of a piece, each rounded as on its cost sheet, so that both agree."""
    money = str(book.studio.currency)
    lines = [
        rounded(carried_money(then, key, each, money), what=called(each))
        for each in then.loads[key].money
    ]
    return total(Said("step.materials_of", what=key.name), lines, money)


def _left_cost(book: Book, then: Flow, key: Key) -> Figure:
    """The part of a lot's cost that is still in it: cost x left / whole, rounded once."""
    whole, left, node, what = then.whole(key), then.left(key), then.nodes[key], called(key)
    money = str(book.studio.currency)
    carried = [carried_money(then, key, origin, money) for origin in then.loads[key].money]
    paid = added(Said("step.paid_for", what=what), carried, money)
    if left == whole:
        return rounded(paid, what=what)
    part = quotient(
        Said("step.part_left", what=what),
        given(Said("step.amount_left", what=what), left, node.unit),
        in_all(what, whole, node.unit, node.place),
    )
    return rounded(product(what, paid, part, unit=money))


@dataclass(frozen=True, slots=True)
class GoodsSold:
    """Opening stock + bought - closing stock; `bought` by kind of thing."""

    first: date
    last: date
    opening: Stock
    bought: tuple[Figure, ...]
    closing: Stock
    cost: Figure


def goods_sold(book: Book, flow: Flow, first: date, last: date) -> GoodsSold:
    """What the goods that left from the first to the last day had cost; losses are in it."""
    before = first - timedelta(days=1)
    opening, closing = stock_on(book, flow, before), stock_on(book, flow, last)
    bought, money = _bought(Days(book, flow), before, last), opening.currency
    start = replace(opening.total, what=Said("step.at_start", day=first.isoformat()))
    end = replace(closing.total, what=Said("step.at_end", day=last.isoformat()))
    sums = [start, total(Said("step.bought"), bought, money)]
    ready = total(Said("step.opening_and_bought"), sums, money)
    cost = difference(Said("step.goods_sold"), ready, end)
    return GoodsSold(first, last, opening, bought, closing, cost)


def _bought(days: Days, before: date, last: date) -> tuple[Figure, ...]:
    """What was paid from the day after `before` to the last day, by kind."""
    money, lines = str(days.book.studio.currency), dict[str, list[Figure]]()
    earlier, later = flow_on(days, before), flow_on(days, last)
    for key, node in later.nodes.items():
        known = earlier.nodes.get(key)
        for origin, paid in node.own.money.items():
            already = known.own.money[origin] if known else Fraction(0)
            if paid != already:
                plainly = given(key.name, paid - already, money, node.own_place)
                figure = plainly if already else node.workings.get(origin, plainly)
                cost = rounded(figure, what=naming(key))
                lines.setdefault(origin.kind, []).append(cost)
    return tuple(total(_BOUGHT[kind], costs, money) for kind, costs in lines.items())


@dataclass(frozen=True, slots=True)
class Insured:
    """One piece for the insurer; `cost` is with the maker's hours and overhead."""

    number: str
    title: str
    place: str
    price: Figure
    materials: Figure
    cost: Figure
    photo: str


def insurance(book: Book, flow: Flow, stock: Stock) -> tuple[Insured, ...]:
    """The finished pieces of a stock, in order of number."""
    found = []
    for item in sorted(stock.items, key=lambda each: each.key.name):
        if item.group in (HERE, AWAY):
            piece = book.pieces[item.key.name]
            sheet = cost_sheet(book, flow, piece)
            photo = next((str(each.file) for each in piece.photos), "")
            told = (str(piece.number), str(piece.title), item.place)
            found.append(Insured(*told, sheet.price, item.cost, sheet.cost, photo))
    return tuple(found)
