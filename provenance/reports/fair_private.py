"""The maker's own sheet for a fair: what it must bring, what each piece would, what it brought.

In: the border, a fair, its pieces. Out: "private-fair" as PDF and CSV, never among what a helper
or an organiser sees: fees, break-even, net and hourly return, and a grid for the evening after,
with the numbers on the stubs.
"""

from collections.abc import Iterator, Sequence
from functools import partial

from provenance.figures.money.cost import CostSheet
from provenance.figures.money.fair import Prospect, Result, prospect, result_of, sold_there
from provenance.figures.money.price import OutletReading
from provenance.figures.working import Figure, half_up, plain, rounded, total
from provenance.language.phrases import Phrases
from provenance.papers.sheets.frame import PRIVATE, Page, Paper, counted, sheet_pdf
from provenance.papers.sheets.spreadsheet import csv_file
from provenance.problems import SILENCE
from provenance.public.border import Border
from provenance.records.lots import Outlet
from provenance.studio import Worked

_COLUMNS = (
    "number", "title", "price", "card fee", "commission", "net", "materials", "hours",
    "hourly return", "currency",
)  # fmt: skip


def private_fair(border: Border, outlet: Outlet, pieces: Sequence[Worked]) -> list[Paper]:
    """Break-even, net and hourly return here, and the grid for reconciling the stubs."""
    phrases, costs = border.phrases, [each.cost for each in pieces]
    outlook = prospect(outlet, costs, border.studio.book)
    there, shown = border.outlet(str(outlet.name)), [border.piece(each.number) for each in pieces]
    values = {
        "outlet": there.title,
        "where": there.where_and_when,
        "pieces": shown,
        "fees": [(phrases.tell(fee.what), phrases.money(fee.value)) for fee in outlook.fees],
        "sums": _sums(phrases, outlook, len(pieces)),
        "to_sell": _to_sell(phrases, outlook),
        "lines": _lines(phrases, outlook, pieces),
        "results": list(_results(border, outlet, costs)),
        "counted": partial(counted, phrases),
        "money": phrases.money,
        "exact": partial(_exact, phrases),
        "hours": phrases.hours,
    }
    page = Page("private_fair", phrases.say("sheet.private_fair"), values)
    return [
        Paper(f"{PRIVATE}fair.pdf", sheet_pdf(border.house, page, shown), page.title),
        Paper(f"{PRIVATE}fair.csv", _csv(border, outlook, pieces)),
    ]


def _exact(phrases: Phrases, figure: Figure | None) -> str:
    return phrases.money(figure.value, exact=True) if figure else "-"


def _sums(phrases: Phrases, outlook: Prospect, count: int) -> dict[str, str]:
    return {
        "fixed": phrases.money(outlook.fixed.value),
        "average": phrases.money(outlook.average.value),
        "kept": phrases.number(outlook.kept.value, 4),
        "materials": phrases.money(outlook.materials.value),
        "count": counted(phrases, count),
    }


def _to_sell(phrases: Phrases, outlook: Prospect) -> str:
    """11 pieces; or that no number would do."""
    if not outlook.fees:
        return phrases.say("sheet.no_fees")
    if outlook.to_sell is None:
        return phrases.say("sheet.never_pays")
    return counted(phrases, outlook.to_sell)


def _lines(phrases: Phrases, outlook: Prospect, pieces: Sequence[Worked]) -> list[dict[str, str]]:
    readings, costs = outlook.readings, [each.cost for each in pieces]
    columns = {
        "price": phrases.column([_price(each).value for each in pieces]),
        "takes": phrases.column([_takes(each).value for each in readings]),
        "net": phrases.column([each.net.value for each in readings]),
        "materials": phrases.column([cost.materials.value for cost in costs]),
        "hours": [phrases.number(cost.hours.value, 2) for cost in costs],
        "hourly": [_exact(phrases, each.hourly) for each in readings],
        "number": [each.number for each in pieces],
        "title": [str(each.record.title) for each in pieces],
    }
    rows = zip(*columns.values(), strict=True)
    return [dict(zip(columns, row, strict=True)) for row in rows]


def _results(
    border: Border, outlet: Outlet, costs: Sequence[CostSheet]
) -> Iterator[tuple[str, Result]]:
    """If everything is sold; and what was sold there so far."""
    book, say = border.studio.book, border.phrases.say
    yield say("sheet.if_all_sold"), result_of(outlet, costs, book)
    if sold := sold_there(book, border.studio.flow, outlet):
        yield say("sheet.sold_so_far"), result_of(outlet, [sheet for _, sheet in sold], book)


def _csv(border: Border, outlook: Prospect, pieces: Sequence[Worked]) -> bytes:
    """The lines for a spreadsheet."""
    phrases, rows = border.phrases, []
    for each, reading in zip(pieces, outlook.readings, strict=True):
        money = (_price(each), reading.card_fee, reading.commission, reading.net,
                 each.cost.materials)  # fmt: skip
        cells = [each.number, str(each.record.title), *(phrases.amount(f.value) for f in money)]
        hourly = str(half_up(reading.hourly.value, 4)) if reading.hourly else ""
        rows.append([*cells, plain(each.cost.hours.value, 4), hourly, border.house.currency])
    return csv_file([phrases.say(f"csv.{word}") for word in _COLUMNS], rows)


def _price(piece: Worked) -> Figure:
    return rounded(piece.cost.price, piece.cost.minor)


def _takes(reading: OutletReading) -> Figure:
    """All that does not reach the maker: commission, card fee, tax."""
    parts = [reading.commission, reading.card_fee, reading.tax]
    return total(SILENCE, parts, reading.net.unit)
