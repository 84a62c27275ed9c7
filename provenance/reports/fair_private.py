"""The maker's own sheet for a fair: what it must bring, what each piece would, what it brought.

In: the papers of a fair. Out: "private-fair" as PDF and CSV, never among what a helper or an
organiser sees: fees, break-even, net and hourly return, and a grid for the evening after, with the
numbers on the stubs.
"""

from __future__ import annotations

from typing import Any

from provenance.figures.money.fair import Prospect, Result, prospect, result_of, sold_there
from provenance.figures.money.price import OutletReading
from provenance.figures.working import Figure, half_up, plain, total
from provenance.papers.sheets.frame import PRIVATE, Page, Papers, Sheet, price_of, sheet_pdf
from provenance.papers.sheets.spreadsheet import csv_file
from provenance.problems import SILENCE


def private_fair(papers: Papers) -> list[Sheet]:
    """Break-even, net and hourly return here, and the grid for reconciling the stubs."""
    book = papers.setting.book
    outlook = prospect(papers.outlet, [each.cost for each in papers.pieces], book)
    everything = result_of(papers.outlet, [each.cost for each in papers.pieces], book)
    sold = sold_there(book, papers.setting.flow, papers.outlet)
    brought = result_of(papers.outlet, [sheet for _, sheet in sold], book) if sold else None
    page = Page(
        "private_fair",
        papers.say("private_fair"),
        {
            "outlet": papers.title,
            "where": papers.where_and_when,
            "fees": [
                (papers.setting.phrases.tell(fee.what), papers.money(fee)) for fee in outlook.fees
            ],
            "sums": _sums(papers, outlook),
            "to_sell": _to_sell(papers, outlook),
            "lines": _lines(papers, outlook),
            "results": [
                (papers.say("if_all_sold"), _result(papers, everything)),
                *([(papers.say("sold_so_far"), _result(papers, brought))] if brought else []),
            ],
            "stubs": [
                {"number": e.facts.number, "title": e.facts.title, "price": e.facts.price}
                for e in papers.pieces
            ],
        },
    )
    return [
        Sheet(f"{PRIVATE}fair.pdf", sheet_pdf(papers.setting, page, papers.pieces), page.title),
        Sheet(f"{PRIVATE}fair.csv", _csv(papers, outlook)),
    ]


def _sums(papers: Papers, outlook: Prospect) -> dict[str, str]:
    return {
        "fixed": papers.money(outlook.fixed),
        "average": papers.money(outlook.average),
        "kept": papers.setting.phrases.number(outlook.kept.value, 4),
        "materials": papers.money(outlook.materials),
        "count": papers.count,
    }


def _to_sell(papers: Papers, outlook: Prospect) -> str:
    """11 pieces; or that no number would do."""
    if not outlook.fees:
        return papers.say("no_fees")
    if outlook.to_sell is None:
        return papers.say("never_pays")
    return papers.counted(outlook.to_sell)


def _lines(papers: Papers, outlook: Prospect) -> list[dict[str, str]]:
    readings, costs = outlook.readings, [each.cost for each in papers.pieces]
    columns = {
        "price": papers.column([price_of(each) for each in papers.pieces]),
        "takes": papers.column([_takes(each) for each in readings]),
        "net": papers.column([each.net for each in readings]),
        "materials": papers.column([cost.materials for cost in costs]),
        "hours": [plain(cost.hours.value, 2) for cost in costs],
        "hourly": [_hourly(papers, each) for each in readings],
    }
    rows = [dict(zip(columns, row, strict=True)) for row in zip(*columns.values(), strict=True)]
    return [
        {"number": each.facts.number, "title": each.facts.title, **row}
        for each, row in zip(papers.pieces, rows, strict=True)
    ]


def _takes(reading: OutletReading) -> Figure:
    """All that does not reach the maker: commission, card fee, tax."""
    parts = [reading.commission, reading.card_fee, reading.tax]
    return total(SILENCE, parts, reading.net.unit)


def _hourly(papers: Papers, reading: OutletReading) -> str:
    return papers.exact(reading.hourly) if reading.hourly else "-"


def _result(papers: Papers, result: Result) -> dict[str, Any]:
    return {
        "count": papers.counted(result.count),
        "taken": papers.money(result.taken),
        "net": papers.money(result.net),
        "after": papers.money(result.after_fees),
        "hours": papers.setting.phrases.hours(result.hours.value),
        "hourly": papers.exact(result.hourly) if result.hourly else "-",
    }


def _csv(papers: Papers, outlook: Prospect) -> bytes:
    columns = (
        "number", "title", "price", "card fee", "commission", "net", "materials", "hours",
        "hourly return", "currency",
    )  # fmt: skip
    rows = []
    for each, reading in zip(papers.pieces, outlook.readings, strict=True):
        money = (price_of(each), reading.card_fee, reading.commission, reading.net)
        cells = [each.facts.number, each.facts.title, *(papers.cell(figure) for figure in money)]
        cells += [papers.cell(each.cost.materials), plain(each.cost.hours.value, 4)]
        hourly = str(half_up(reading.hourly.value, 4)) if reading.hourly else ""
        rows.append([*cells, hourly, papers.currency])
    return csv_file(columns, rows)
