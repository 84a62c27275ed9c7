"""The stock in the terminal: classes and places, cost of goods sold, insurance, remarks.

In: a stock. Out: printed tables that fit a narrow terminal and use a wide one.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from provenance.commands.showing import (
    add_sum,
    money,
    open_console,
    print_workings,
    say,
    table,
)
from provenance.commands.studio import Opened
from provenance.figures.stock.stock import GoodsSold, Stock, amount_words, class_words, insurance
from provenance.figures.working import Figure
from provenance.language.phrases import british
from provenance.reference.currencies import minor_unit

if TYPE_CHECKING:
    from rich.console import Console


WIDE = 80


def show_stock(
    opened: Opened, stock: Stock, goods: GoodsSold | None, *, with_items: bool, explain: bool
) -> None:
    """All tables of a stock."""
    console, minor = open_console(), minor_unit(stock.currency)
    console.print(f"Stock in the evening of {stock.on}", style="bold")
    console.print()
    _show_classes(console, stock, minor)
    if with_items:
        _show_items(console, opened, stock, minor)
    if goods:
        _show_goods(console, goods, minor)
    _show_insurance(console, opened, stock, minor)
    _show_remarks(console, opened, stock)
    if explain:
        groups = {"The stock": [stock.total]}
        if goods:
            groups["Goods sold"] = [goods.cost]
        print_workings(console, stock.currency, minor, groups)


def _show_classes(console: Console, stock: Stock, minor: int) -> None:
    made = table(console, "At cost, without your own hours", "items", stock.currency)
    for line in stock.lines:
        words = british().tell(class_words(line.group))
        where = words if line.place == "studio" else f"finished, at {line.place}"
        made.add_row(where, str(len(line.items)), money(line.cost, minor))
    add_sum(console, made, "stock", str(len(stock.items)), money(stock.total, minor))
    console.print(made)
    say(
        console,
        "Cost is what was paid for materials, sundries and heat. Your hours are not in it, nor "
        "overhead. Work at an outlet is yours until it is sold. Figures for your books, no tax "
        "advice: ask your accountant.",
        style="dim",
    )


def _show_items(console: Console, opened: Opened, stock: Stock, minor: int) -> None:
    for line in stock.lines:
        words = british().tell(class_words(line.group))
        heading = words if line.place == "studio" else f"finished, at {line.place}"
        is_work = all(item.key.kind == "piece" for item in line.items)
        made = table(console, heading.capitalize(), "" if is_work else "left", stock.currency)
        for item in line.items:
            piece = opened.book.pieces.get(item.key.name) if item.key.kind == "piece" else None
            name = f"{item.key.name} {piece.title}" if piece else item.key.name
            made.add_row(name, amount_words(item), money(item.cost, minor))
        add_sum(console, made, heading, "", money(line.cost, minor))
        console.print()
        console.print(made)


def _show_goods(console: Console, goods: GoodsSold, minor: int) -> None:
    made = table(console, "Cost of goods sold", goods.opening.currency)
    made.add_row(f"stock in the morning of {goods.first}", money(goods.opening.total, minor))
    for line in goods.bought:
        made.add_row(f"+ {british().tell(line.what)}", money(line, minor))
    made.add_row(f"- stock in the evening of {goods.last}", money(goods.closing.total, minor))
    add_sum(console, made, "cost of goods sold", money(goods.cost, minor))
    console.print()
    console.print(made)
    say(console, "Samples, losses and withdrawn work are in it.", style="dim")


def _show_insurance(console: Console, opened: Opened, stock: Stock, minor: int) -> None:
    insured = insurance(opened.book, opened.flow, stock)
    if not insured:
        return
    is_wide = console.width > WIDE
    words = ("Finished work, for the insurer", "where", *(["photo"] if is_wide else []))
    made = table(console, *words, "price", "cost", left=len(words))
    for one in insured:
        photo = [one.photo or "none"] if is_wide else []
        cells = [f"{one.number} {one.title}", one.place, *photo]
        made.add_row(*cells, money(one.price, minor), money(one.cost, minor))
    sums = [_sum([one.price for one in insured], minor), _sum([one.cost for one in insured], minor)]
    add_sum(console, made, f"{len(insured)} in all", *([""] * (len(words) - 1)), *sums)
    console.print()
    console.print(made)
    say(
        console,
        "Cost here is what it would take you to make it again: materials, your hours at your pay, "
        "overhead.",
        style="dim",
    )


def _sum(figures: Sequence[Figure], minor: int) -> str:
    return money(sum((figure.value for figure in figures), figures[0].value * 0), minor)


def _show_remarks(console: Console, opened: Opened, stock: Stock) -> None:
    lots = [key.name for key in stock.no_day if key.kind != "piece"]
    pieces = [key.name for key in stock.no_day if key.kind == "piece"]
    remarks = []
    if lots:
        remarks.append(
            f"No day is noted for {', '.join(lots)}: they count as there from the start. A line "
            "such as 'bought: 2026-03-01' in their records sets it right."
        )
    if pieces:
        remarks.append(
            f"No day is noted for {', '.join(pieces)}: they count from the day the last of their "
            "yarn was there. 'finished: 2026-09-14' sets it right."
        )
    if stock.left_out:
        remarks.append(
            f"{', '.join(stock.left_out)} left on a day that is not noted: left out on every day. "
            "'sale: {on: 2026-11-02}' sets it right."
        )
    if stock.on < opened.today:
        remarks.append("Where a piece was on an earlier day is not noted: places are today's.")
    for remark in remarks:
        console.print()
        say(console, remark)
