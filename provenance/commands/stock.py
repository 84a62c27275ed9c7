"""`stock`: what lies where on a day, at cost without the maker's own hours.

In: a day, by default today; with `--since`, what the goods sold since then had cost. Out: tables,
JSON, or a CSV file for a spreadsheet.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import click

from provenance.commands.showing import money
from provenance.commands.studio import Here, Opened, refuse, warn_of
from provenance.figures.stock.stock import GoodsSold, Item, Stock, goods_sold, insurance, stock_on
from provenance.figures.working import plain
from provenance.language.phrases import british
from provenance.language.telling import told_in_line
from provenance.problems import Slip
from provenance.records.fields import day
from provenance.reference.currencies import minor_unit


def _day(_context: click.Context, _option: click.Parameter, said: str | None) -> date | None:
    if said is None:
        return None
    try:
        return day(said)
    except Slip as slip:
        raise click.BadParameter(told_in_line(slip, british(), ": ")) from slip


@click.command("stock")
@click.option("--on", "on", metavar="DATE", callback=_day, help="The day; today if left out.")
@click.option(
    "--since", metavar="DATE", callback=_day, help="Also: cost of goods sold from this day on."
)
@click.option("--items", "with_items", is_flag=True, help="Also: every lot and piece by itself.")
@click.option("--explain", is_flag=True, help="Every working, down to the line of the record.")
@click.option("--csv", "csv_file", type=click.Path(path_type=Path), help="Write the items there.")
@click.option("--pdf", "as_pdf", is_flag=True, help="For the books, to papers/private/.")
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
@click.pass_obj
def command(here: Here, /, **asked: Any) -> None:
    """What lies in the studio and at its outlets, at cost without your own hours."""
    opened = here.studio
    on = asked["on"] or opened.today
    stock = stock_on(opened.book, opened.flow, on)
    since = asked["since"]
    if since and since > on:
        refuse(f"--since {since} is after {on}", 2)
    goods = goods_sold(opened.book, opened.flow, since, on) if since else None
    if asked["csv_file"]:
        _write(asked["csv_file"], as_csv(opened, stock))
    if asked["as_pdf"]:
        from provenance.commands.private_papers import write_stock

        write_stock(here, opened, stock, goods)
    if asked["as_json"]:
        click.echo(json.dumps(as_data(opened, stock, goods), ensure_ascii=False, indent=1))
        return
    from provenance.commands.stock_sheet import show_stock

    warn_of(opened)
    show_stock(opened, stock, goods, with_items=asked["with_items"], explain=asked["explain"])


def as_data(opened: Opened, stock: Stock, goods: GoodsSold | None) -> dict[str, Any]:
    """The stock with stable keys; money with the currency's decimals."""
    minor = minor_unit(stock.currency)
    data: dict[str, Any] = {
        "on": stock.on.isoformat(),
        "currency": stock.currency,
        "classes": [
            {"class": line.group, "place": line.place, "cost": money(line.cost, minor)}
            for line in stock.lines
        ],
        "total": money(stock.total, minor),
        "pieces": list(_pieces(opened, stock, minor)),
        "no day noted": [key.name for key in stock.no_day],
    }
    if goods:
        data["goods sold"] = {
            "from": goods.first.isoformat(),
            "to": goods.last.isoformat(),
            "opening": money(goods.opening.total, minor),
            "bought": money(sum((line.value for line in goods.bought), Fraction(0)), minor),
            "closing": money(goods.closing.total, minor),
            "cost": money(goods.cost, minor),
        }
    return data


def _pieces(opened: Opened, stock: Stock, minor: int) -> Iterator[dict[str, Any]]:
    insured = {one.number: one for one in insurance(opened.book, opened.flow, stock)}
    pieces = (item for item in stock.items if item.key.kind == "piece")
    for item in sorted(pieces, key=lambda each: each.key.name):
        one = insured.get(item.key.name)
        yield {
            "number": item.key.name,
            "place": item.place,
            "cost": money(item.cost, minor),
            "price": money(one.price, minor) if one else None,
            "class": item.group,
            "photo": one.photo or None if one else None,
        }


COLUMNS = ("class", "place", "name", "title", "amount", "unit", "cost", "price", "photo")


def as_csv(opened: Opened, stock: Stock) -> str:
    """Every item on a line, for a spreadsheet."""
    minor = minor_unit(stock.currency)
    insured = {one.number: one for one in insurance(opened.book, opened.flow, stock)}
    into = io.StringIO(newline="")
    rows = csv.writer(into)
    rows.writerow(COLUMNS)
    for item in stock.items:
        one = insured.get(item.key.name) if item.key.kind == "piece" else None
        cells = [item.group, item.place, item.key.name, _title(opened, item)]
        cells += [plain(item.amount) if item.amount is not None else "", item.unit]
        cells += [money(item.cost, minor), money(one.price, minor) if one else ""]
        rows.writerow([_harmless(cell) for cell in (*cells, one.photo if one else "")])
    return into.getvalue()


def _title(opened: Opened, item: Item) -> str:
    return str(opened.book.pieces[item.key.name].title) if item.key.kind == "piece" else ""


def _harmless(cell: str) -> str:
    """A spreadsheet takes these for the start of a sum; an apostrophe makes them text."""
    return f"'{cell}" if cell.startswith(("=", "+", "-", "@", "\t")) else cell


def _write(path: Path, text: str) -> None:
    from provenance.output import write_file

    try:
        write_file(path.absolute(), text.encode("utf-8-sig"))
    except Slip as slip:
        refuse(told_in_line(slip, british()), 1)
    click.echo(f"{path} is written.", err=True)
