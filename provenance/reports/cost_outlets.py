"""What a piece brought, or would bring wherever it may be sold.

In: a costing. Out: a table for each sale, and one of the outlets while there is something to sell.
"""

from collections.abc import Iterator

from provenance.figures.money.price import OutletReading
from provenance.figures.money.sold import Sold
from provenance.problems import Said, Words
from provenance.reports.costing import Costing
from provenance.reports.report import (
    Cell,
    Column,
    Note,
    Part,
    Table,
    account,
    notes,
    numbers,
    rows,
    sum_row,
)


def outlets_of(it: Costing) -> Iterator[Part]:
    """Its sales, and every outlet as long as some of it is left."""
    for sale in it.sales:
        yield _sale(it, sale)
    if it.worked.record.state == "sold" and it.sales:
        return
    if not it.outlets:
        yield Note(Said("cost.no_outlet"), is_apart=True, is_set_in=False)
        return
    has_tax = it.studio.prices.tax.way == "included"
    heads = ("commission", "card_fee", "tax")[: 3 if has_tax else 2]
    columns = (
        Column(Said("cost.where_it_sells")),
        *numbers(*(Said(f"cost.{word}") for word in heads), least=80),
        *numbers(Said("cost.net"), Said("cost.an_hour"), Said("cost.for_full_pay")),
    )
    lines: list[tuple[Words | Cell, ...]] = [
        (
            Cell(each.outlet, _bought(it, each), kind="name"),
            *map(it.money, (each.commission, each.card_fee, each.tax)[: len(heads)]),
            *map(it.money, (each.net, each.hourly, each.to_earn_the_pay)),
        )
        for each in it.outlets
    ]
    words = Note(Said("cost.outlet_words", price=it.money(it.sheet.price)), "dim")
    yield Table(columns, rows(*lines), (words, *notes(*_here_words(it))))


def _bought(it: Costing, reading: OutletReading) -> Words:
    """What an outlet pays that buys instead of selling for the maker."""
    return Said("cost.buys_at", price=it.money(reading.paid)) if reading.is_bought else ""


def _sale(it: Costing, sale: Sold) -> Table:
    """One sale: what was paid, what stayed there, what came in."""
    kept = Said("cost.kept_back" if sale.is_noted else "cost.kept_by_terms")
    lines = [(Said("cost.sold_for"), it.money(sale.price)), (kept, it.money(sale.kept_back))]
    if sale.tax.value:
        lines.append((Said("cost.tax_inside"), it.money(sale.tax)))
    whole = sum_row(Said("cost.net"), it.money(sale.net))
    hourly = rows((Said("cost.an_hour"), it.money(it.hour_of(sale))))
    key = "cost.sold_on_of_set" if sale.piece.makes else "cost.sold_on"
    heading = Said(key, day=str(sale.sale.on), at=sale.at, items=sale.sale.count, made=it.makes)
    return account(heading, (it.sheet.currency,), *rows(*lines), whole, *hourly)


def _here_words(it: Costing) -> Iterator[Words]:
    """Where it is, or each that is left of a set, and what that would bring."""
    made = it.worked.record.made
    if it.worked.record.makes:
        for there, items in it.standing:
            told = {"items": items, "made": made, "brings": _brings(it, there)}
            yield Said("cost.is_at_of_set", at=there.outlet, **told)
    elif it.here and not it.sales:
        yield Said("cost.is_at", at=it.here.outlet, brings=_brings(it, it.here))


def _brings(it: Costing, reading: OutletReading) -> Said:
    key = "cost.brings_hourly" if reading.hourly else "cost.brings"
    return Said(key, net=it.money(reading.net), hourly=it.money(reading.hourly))
