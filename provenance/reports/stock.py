"""The stock report: what lies where on a day, at cost without the maker's own hours.

In: a stock, with `since` the goods sold since then. Out: a `Report`: classes and places, every item
by itself, cost of goods sold, finished work for the insurer, remarks; and the items as a list for
spreadsheets. Figures and no advice.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from functools import cached_property, partial
from typing import Any

from provenance.figures.flow.flow import called
from provenance.figures.stock.stock import (
    CLASSES,
    STUDIO,
    GoodsSold,
    Insured,
    Item,
    Line,
    Stock,
    goods_sold,
    in_unit,
    insurance,
    stock_on,
)
from provenance.figures.working import Figure, plain
from provenance.problems import Said, Words
from provenance.reference.currencies import minor_unit
from provenance.reports.insurer import insurer_list, place_words
from provenance.reports.measured import in_store
from provenance.reports.report import (
    Cell,
    Column,
    Filed,
    Note,
    Part,
    Report,
    Table,
    Writer,
    account,
    money,
    notes,
    numbers,
    rows,
    sum_row,
)
from provenance.studio import Studio

_LIST = ("class", "place", "name", "title", "amount", "unit", "cost", "price", "photo")


@dataclass(frozen=True, eq=False)
class _Stock:
    """The stock of a day, and what its report is written from."""

    studio: Studio
    stock: Stock
    goods: GoodsSold | None

    @cached_property
    def insured(self) -> dict[tuple[str, str], Insured]:
        """The insurer's list, by number and place."""
        found = insurance(self.studio.book, self.studio.flow, self.stock)
        return {(each.number, each.place): each for each in found}

    def insured_as(self, item: Item) -> Insured | None:
        """The line of the insurer's list that an item has; a lot has none."""
        is_piece = item.key.kind == "piece"
        return self.insured.get((item.key.name, item.place)) if is_piece else None

    def title(self, item: Item) -> str:
        """The title of a piece; nothing for a lot."""
        pieces = self.studio.book.pieces
        return str(pieces[item.key.name].title) if item.key.kind == "piece" else ""

    def money(self, value: Fraction | Figure) -> str:
        return money(value, minor_unit(self.stock.currency))


def stock_report(
    studio: Studio, on: date, since: date | None = None, *, with_items: bool = True
) -> Report:
    """The stock in the evening of a day, and what was sold from the day `since` until then.

    Paper has every item; the terminal has them `with_items` alone.
    """
    book, flow = studio.book, studio.flow
    goods = goods_sold(book, flow, since, on) if since else None
    it = _Stock(studio, stock_on(book, flow, on), goods)
    only: Writer | None = None if with_items else "paper"
    figures: dict[Words, list[Figure]] = {Said("stock.the_stock"): [it.stock.total]}
    if goods:
        figures[Said("stock.goods_sold")] = [goods.cost]
    return Report(
        (
            _classes(it), *_low(it), *(replace(each, only=only) for each in _items(it)),
            *_goods(it), *insurer_list(studio, tuple(it.insured.values()), it.money),
            *_remarks(it),
        ),
        title=Said("stock.evening_of", day=on),
        figures=figures,
        data=partial(_data, it),
        rows=partial(_list, it),
        filed=Filed(f"stock-{on.isoformat()}", Said("stock.paper"), is_brief=True),
    )  # fmt: skip


def _classes(it: _Stock) -> Table:
    stock = it.stock
    lines = [(_where(each), str(len(each.items)), it.money(each.cost)) for each in stock.lines]
    whole = sum_row(Said("stock.stock"), str(len(stock.items)), it.money(stock.total))
    columns = (Column(Said("stock.at_cost")), *numbers(Said("stock.items"), stock.currency))
    words = notes(Said("stock.words"), style="dim")
    return Table(columns, (*rows(*lines), whole), words)


def _low(it: _Stock) -> Iterator[Table]:
    """What to order again."""
    lines = [
        (
            Cell(each.name, kind="name"),
            in_unit(each.left, each.unit) if each.left is not None else Said("stock.unweighed"),
            in_unit(each.least, each.unit),
        )
        for each in it.stock.low
    ]
    if lines:
        heads = (Said("stock.left"), Said("stock.keep"))
        words = notes(Said("stock.order_words"), style="dim")
        yield Table((Column(Said("stock.to_order")), *numbers(*heads)), rows(*lines), words)


def _where(line: Line) -> Words:
    if line.place == STUDIO:
        return Said(f"stock.{CLASSES[line.group]}")
    return Said("stock.finished_at", place=line.place)


def _heading(line: Line) -> Words:
    if line.place == STUDIO:
        return Said(f"stock.heading_{CLASSES[line.group]}")
    return Said("stock.heading_finished_at", place=line.place)


def _items(it: _Stock) -> Iterator[Table]:
    for line in it.stock.lines:
        is_work = all(item.key.kind == "piece" for item in line.items)
        lines = [(_called(it, each), _left(it, each), it.money(each.cost)) for each in line.items]
        heads = ("" if is_work else Said("stock.left"), it.stock.currency)
        whole = sum_row(_where(line), "", it.money(line.cost))
        yield account(_heading(line), heads, *rows(*lines), whole)


def _left(it: _Stock, item: Item) -> Words:
    return in_store(it.studio.book, item.key, item.amount, item.unit)


def _called(it: _Stock, item: Item) -> Words | Cell:
    title = it.title(item)
    return f"{item.key.name} {title}" if title else Cell(called(item.key), kind="name")


def _goods(it: _Stock) -> Iterator[Table]:
    goods = it.goods
    if goods is None:
        return
    lines = rows(
        (Said("stock.opening", day=goods.first), it.money(goods.opening.total)),
        *((Said("stock.plus", what=each.what), it.money(each)) for each in goods.bought),
        (Said("stock.closing", day=goods.last), it.money(goods.closing.total)),
    )
    columns = (Column(Said("stock.goods_heading")), *numbers(it.stock.currency))
    whole, words = sum_row(Said("stock.goods"), it.money(goods.cost)), Said("stock.goods_words")
    yield Table(columns, (*lines, whole), notes(words, style="dim"))


def _remarks(it: _Stock) -> Iterator[Part]:
    stock = it.stock
    lots = tuple(key.name for key in stock.no_day if key.kind != "piece")
    pieces = tuple(key.name for key in stock.no_day if key.kind == "piece")
    records, gone = it.studio.book.pieces, stock.left_out
    found = {
        "lots_no_day": lots,
        "pieces_no_day": pieces,
        "left_out": tuple(each for each in gone if records[each].state != "withdrawn"),
        "withdrawn": tuple(each for each in gone if records[each].state == "withdrawn"),
    }
    for word, names in found.items():
        if names:
            yield Note(Said(f"stock.{word}", names=", ".join(names)), is_apart=True)
    if stock.on < it.studio.today:
        yield Note(Said("stock.places_are_todays"), is_apart=True)


def _list(it: _Stock) -> Table:
    """Every item on a line, for a spreadsheet."""
    columns = tuple(Column(Said(f"stock.list_{word}")) for word in _LIST)
    return Table(columns, rows(*(_list_row(it, each) for each in it.stock.items)))


def _list_row(it: _Stock, item: Item) -> tuple[Words, ...]:
    one = it.insured_as(item)
    return (
        Said(f"stock.{CLASSES[item.group]}"), place_words(item.place), item.key.name,
        it.title(item),
        plain(item.amount) if item.amount is not None else "", item.unit,
        it.money(item.cost), it.money(one.price) if one else "", one.photo if one else "",
    )  # fmt: skip


def _data(it: _Stock) -> dict[str, Any]:
    """The stock with stable keys; money with the currency's decimals."""
    stock = it.stock
    data: dict[str, Any] = {
        "on": stock.on.isoformat(),
        "currency": stock.currency,
        "classes": [
            {"class": line.group, "place": line.place, "cost": it.money(line.cost)}
            for line in stock.lines
        ],
        "total": it.money(stock.total),
        "pieces": list(_pieces(it)),
        "to order": [
            {
                "name": each.name,
                "left": in_unit(each.left, each.unit) if each.left is not None else None,
                "keep": in_unit(each.least, each.unit),
            }
            for each in stock.low
        ],
        "no day noted": [key.name for key in stock.no_day],
    }
    return data | ({"goods sold": _goods_data(it, it.goods)} if it.goods else {})


def _goods_data(it: _Stock, goods: GoodsSold) -> dict[str, str]:
    return {
        "from": goods.first.isoformat(),
        "to": goods.last.isoformat(),
        "opening": it.money(goods.opening.total),
        "bought": it.money(sum((line.value for line in goods.bought), Fraction(0))),
        "closing": it.money(goods.closing.total),
        "cost": it.money(goods.cost),
    }


def _pieces(it: _Stock) -> Iterator[dict[str, Any]]:
    pieces = (item for item in it.stock.items if item.key.kind == "piece")
    for item in sorted(pieces, key=lambda each: each.key.name):
        one = it.insured_as(item)
        yield {
            "number": item.key.name,
            "place": item.place,
            "cost": it.money(item.cost),
            "price": it.money(one.price) if one else None,
            "class": item.group,
            "photo": one.photo or None if one else None,
            **({"items": plain(item.amount)} if item.amount is not None else {}),
        }
