"""The maker's own sheet for a fair: what it must bring, what each piece would, what it brought.

In: the border, a fair, its pieces. Out: "private-fair" as PDF and CSV, which are filed in
papers/private/, never among what a helper or an organiser sees: fees, break-even, net and hourly
return, and a grid for the evening after, with the numbers on the stubs.
"""

from collections.abc import Iterator, Mapping, Sequence
from functools import partial

from provenance.figures.money.cost import CostSheet
from provenance.figures.money.fair import Prospect, Result, prospect, result_of, so_many, sold_there
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


def private_fair(
    border: Border, outlet: Outlet, pieces: Sequence[Worked], items: Mapping[str, int]
) -> list[Paper]:
    """Break-even, net and hourly return here, and the grid for reconciling the stubs.

    `items` is how many of each piece go along; what stands beside a set is of one.
    """
    phrases, costs = border.phrases, [each.cost for each in pieces]
    counts = [items.get(each.number, 1) for each in pieces]
    outlook = prospect(outlet, costs, border.studio.book, counts)
    there, shown = border.outlet(str(outlet.name)), [border.piece(each.number) for each in pieces]
    values = {
        "outlet": there.title,
        "where": there.where_and_when,
        "has_stub": there.has_stub,
        "pieces": shown,
        "outlook": outlook,
        "columns": _columns(phrases, outlook, costs),
        "results": list(_results(border, outlet, so_many(costs, counts))),
        "items": items,
        "things": [each for each in shown for _ in range(items.get(each.number, 1))],
        "counted": partial(counted, phrases),
        "phrases": phrases,
        "exact": partial(_exact, phrases),
    }
    page = Page("private_fair", phrases.say("sheet.private_fair"), values)
    return [
        Paper(f"{PRIVATE}fair.pdf", sheet_pdf(border.house, page, shown), page.title),
        Paper(f"{PRIVATE}fair.csv", _csv(border, outlook, pieces)),
    ]


def _exact(phrases: Phrases, figure: Figure | None) -> str:
    return phrases.money(figure.value, exact=True) if figure else "-"


def _columns(
    phrases: Phrases, outlook: Prospect, costs: Sequence[CostSheet]
) -> dict[str, list[str]]:
    """What stands below each heading of the list, piece by piece."""
    return {
        "price": phrases.column([_price(cost).value for cost in costs]),
        "takes": phrases.column([_takes(each).value for each in outlook.readings]),
        "net": phrases.column([each.net.value for each in outlook.readings]),
        "materials": phrases.column([cost.materials.value for cost in costs]),
        "hours": [phrases.number(cost.hours.value, 2) for cost in costs],
        "an_hour": [_exact(phrases, each.hourly) for each in outlook.readings],
    }


def _results(
    border: Border, outlet: Outlet, costs: Sequence[CostSheet]
) -> Iterator[tuple[str, Result]]:
    """If everything is sold; and what was sold there so far."""
    book, say = border.studio.book, border.phrases.say
    yield say("sheet.if_all_sold"), result_of(outlet, costs, book)
    if sold := sold_there(book, border.studio.flow, outlet):
        sales, sheets = [one for one, _ in sold], [sheet for _, sheet in sold]
        yield say("sheet.sold_so_far"), result_of(outlet, sheets, book, sales)


def _csv(border: Border, outlook: Prospect, pieces: Sequence[Worked]) -> bytes:
    """The lines for a spreadsheet."""
    phrases, rows = border.phrases, []
    for each, reading in zip(pieces, outlook.readings, strict=True):
        money = (_price(each.cost), reading.card_fee, reading.commission, reading.net,
                 each.cost.materials)  # fmt: skip
        cells = [each.number, str(each.record.title), *(phrases.amount(f.value) for f in money)]
        hourly = str(half_up(reading.hourly.value, 4)) if reading.hourly else ""
        rows.append([*cells, plain(each.cost.hours.value, 4), hourly, border.house.currency])
    heads = [phrases.say(f"csv.{word}") for word in _COLUMNS]
    return csv_file(heads, rows, comma=phrases.has_comma)


def _price(cost: CostSheet) -> Figure:
    return rounded(cost.price, cost.minor)


def _takes(reading: OutletReading) -> Figure:
    """All that does not reach the maker: commission, card fee, tax."""
    parts = [reading.commission, reading.card_fee, reading.tax]
    return total(SILENCE, parts, reading.net.unit)
