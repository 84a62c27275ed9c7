"""The maker's own sheet for a fair: what it must bring, what each piece would, what it brought.

In: the border, a fair, its pieces. Out: "private-fair" as PDF and CSV, never among what a helper
or an organiser sees: fees, break-even, net and hourly return, and a grid for the evening after,
with the numbers on the stubs.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

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
    fair = _Fair(border, outlet, pieces)
    page = Page("private_fair", fair.say("private_fair"), fair.values())
    content = sheet_pdf(border.house, page, [border.piece(each.number) for each in pieces])
    return [
        Paper(f"{PRIVATE}fair.pdf", content, page.title),
        Paper(f"{PRIVATE}fair.csv", fair.csv()),
    ]


@dataclass(frozen=True)
class _Fair:
    """The figures of one fair and the words for them."""

    border: Border
    outlet: Outlet
    pieces: Sequence[Worked]

    @property
    def phrases(self) -> Phrases:
        return self.border.phrases

    def say(self, name: str, **values: Any) -> str:
        return self.phrases.say(f"sheet.{name}", **values)

    def money(self, figure: Figure) -> str:
        return self.phrases.money(figure.value)

    def exact(self, figure: Figure | None) -> str:
        return self.phrases.money(figure.value, exact=True) if figure else "-"

    @property
    def prospect(self) -> Prospect:
        book = self.border.studio.book
        return prospect(self.outlet, [each.cost for each in self.pieces], book)

    def values(self) -> dict[str, Any]:
        """What the page is filled with."""
        outlook, public = self.prospect, self.border.outlet(str(self.outlet.name))
        pieces = [self.border.piece(each.number) for each in self.pieces]
        return {
            "outlet": public.title,
            "where": public.where_and_when,
            "fees": [(self.phrases.tell(fee.what), self.money(fee)) for fee in outlook.fees],
            "sums": self._sums(outlook),
            "to_sell": self._to_sell(outlook),
            "lines": self._lines(outlook),
            "results": list(self._results()),
            "stubs": [{"number": p.number, "title": p.title, "price": p.price} for p in pieces],
        }

    def _sums(self, outlook: Prospect) -> dict[str, str]:
        return {
            "fixed": self.money(outlook.fixed),
            "average": self.money(outlook.average),
            "kept": self.phrases.number(outlook.kept.value, 4),
            "materials": self.money(outlook.materials),
            "count": counted(self.phrases, len(self.pieces)),
        }

    def _to_sell(self, outlook: Prospect) -> str:
        """11 pieces; or that no number would do."""
        if not outlook.fees:
            return self.say("no_fees")
        if outlook.to_sell is None:
            return self.say("never_pays")
        return counted(self.phrases, outlook.to_sell)

    def _lines(self, outlook: Prospect) -> list[dict[str, str]]:
        readings, costs = outlook.readings, [each.cost for each in self.pieces]
        columns = {
            "price": self._column([_price(each) for each in self.pieces]),
            "takes": self._column([_takes(each) for each in readings]),
            "net": self._column([each.net for each in readings]),
            "materials": self._column([cost.materials for cost in costs]),
            "hours": [self.phrases.number(cost.hours.value, 2) for cost in costs],
            "hourly": [self.exact(each.hourly) for each in readings],
            "number": [each.number for each in self.pieces],
            "title": [str(each.record.title) for each in self.pieces],
        }
        rows = zip(*columns.values(), strict=True)
        return [dict(zip(columns, row, strict=True)) for row in rows]

    def _column(self, figures: Sequence[Figure]) -> list[str]:
        return self.phrases.column([figure.value for figure in figures])

    def _results(self) -> Sequence[tuple[str, dict[str, Any]]]:
        """If everything is sold; and what was sold there so far."""
        studio = self.border.studio
        book, costs = studio.book, [each.cost for each in self.pieces]
        found = [(self.say("if_all_sold"), self._result(result_of(self.outlet, costs, book)))]
        if sold := sold_there(book, studio.flow, self.outlet):
            brought = result_of(self.outlet, [sheet for _, sheet in sold], book)
            found.append((self.say("sold_so_far"), self._result(brought)))
        return found

    def _result(self, result: Result) -> dict[str, Any]:
        return {
            "count": counted(self.phrases, result.count),
            "taken": self.money(result.taken),
            "net": self.money(result.net),
            "after": self.money(result.after_fees),
            "hours": self.phrases.hours(result.hours.value),
            "hourly": self.exact(result.hourly),
        }

    def csv(self) -> bytes:
        """The lines for a spreadsheet."""
        amount, rows = self.phrases.amount, []
        for each, reading in zip(self.pieces, self.prospect.readings, strict=True):
            money = (_price(each), reading.card_fee, reading.commission, reading.net)
            cells = [each.number, str(each.record.title), *(amount(f.value) for f in money)]
            cells += [amount(each.cost.materials.value), plain(each.cost.hours.value, 4)]
            hourly = str(half_up(reading.hourly.value, 4)) if reading.hourly else ""
            rows.append([*cells, hourly, self.border.house.currency])
        return csv_file([self.phrases.say(f"csv.{word}") for word in _COLUMNS], rows)


def _price(piece: Worked) -> Figure:
    return rounded(piece.cost.price, piece.cost.minor)


def _takes(reading: OutletReading) -> Figure:
    """All that does not reach the maker: commission, card fee, tax."""
    parts = [reading.commission, reading.card_fee, reading.tax]
    return total(SILENCE, parts, reading.net.unit)
