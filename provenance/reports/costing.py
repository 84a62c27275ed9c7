"""What the cost report of a piece is written from: its sheet, its outlets, its sale, its readings.

In: a piece as worked out. Out: a `Costing`, its figures for the workings, its data for JSON.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any

from provenance.figures.fibre.piecework import FibreLabel
from provenance.figures.money.cost import CostSheet, MaterialLine, of_so_many, valued_on
from provenance.figures.money.price import (
    OutletReading,
    OwnSales,
    Readings,
    area_of,
    brought,
    hourly_return,
    outlet_reading,
    own_sales,
    readings,
)
from provenance.figures.money.sold import Sold, at_sale_price, sold
from provenance.figures.working import Figure, half_up, plain
from provenance.problems import Said, Slip, Words
from provenance.records.lots import Outlet
from provenance.records.studio import StudioFile
from provenance.reports.report import money
from provenance.studio import Worked


@dataclass(frozen=True, eq=False)
class Costing:
    """Everything the sheet of one piece says."""

    worked: Worked

    @cached_property
    def sheet(self) -> CostSheet:
        """Its cost; a sold piece is at what it was sold for."""
        piece, cost = self.worked.record, self.worked.cost
        is_sold = piece.state == "sold" and not piece.makes and self.sales
        return at_sale_price(cost, self.sales[0]) if is_sold else cost

    @property
    def studio(self) -> StudioFile:
        return self.worked.studio.file

    def pay_for(self, activity: str) -> Fraction | None:
        """What an hour of an activity was paid when the piece was finished, or is today."""
        return self.studio.pay_for(
            activity, valued_on(self.worked.record, self.worked.studio.today)
        )

    @cached_property
    def outlets(self) -> tuple[OutletReading, ...]:
        tax, sheet = self.studio.prices.tax, self.sheet
        return tuple(outlet_reading(sheet, each, tax) for each in self._outlets.values())

    @cached_property
    def sales(self) -> tuple[Sold, ...]:
        """What its sales brought."""
        piece, outlets, tax = self.worked.record, self._outlets, self.studio.prices.tax
        return tuple(sold(self.worked.cost, piece, each, outlets, tax) for each in piece.sold)

    @property
    def _outlets(self) -> Mapping[str, Outlet]:
        return self.worked.studio.book.outlets

    @property
    def here(self) -> OutletReading | None:
        """What it would bring where it is: its outlet, else the studio itself."""
        at = str(self.worked.record.at or "")
        return self._at(at)

    @property
    def makes(self) -> int:
        """How many like things it is about."""
        return self.sheet.makes

    def _at(self, place: str) -> OutletReading | None:
        """What it brings at a place that is an outlet, else at the studio itself."""
        own = [each.outlet for each in self.outlets if each.kind == "studio"]
        found = {each.outlet: each for each in self.outlets}
        return next((found[name] for name in (place, *own) if name in found), None)

    @property
    def standing(self) -> tuple[tuple[OutletReading, int], ...]:
        """What one of a set brings at each place where some are left, and how many those are."""
        there = ((self._at(name), count) for name, count in self.worked.record.standing.items())
        return tuple((reading, count) for reading, count in there if reading)

    def hour_of(self, sale: Sold) -> Figure | None:
        """What an hour of it brought by a sale."""
        return hourly_return(of_so_many(self.worked.cost, sale.sale.count), sale.net)

    @cached_property
    def readings(self) -> Readings:
        return readings(self.sheet, area_of(self.worked.record))

    @cached_property
    def own_sales(self) -> OwnSales | None:
        return own_sales(self.worked.studio.book, self.worked.record)

    @cached_property
    def own_hours(self) -> OwnSales | None:
        """The same by what an hour of each brought, where hours are noted."""
        own, studio = self.own_sales, self.worked.studio
        sold_too = [Costing(studio.piece(number)) for number in own.numbers] if own else []
        found = {each.worked.number: hour for each in sold_too if (hour := each.hour_brought)}
        return brought(str(self.worked.record.kind), found, "hour")

    @property
    def hour_brought(self) -> Figure | None:
        """What an hour of it brought by its last sale."""
        can = self.worked.record.can_be_costed and self.sales
        return self.hour_of(self.sales[-1]) if can else None

    @property
    def hour(self) -> Figure | None:
        """The same, else what it brings where it is."""
        here = self.here.hourly if self.here else None
        return self.hour_brought or here

    @property
    def hanging(self) -> tuple[OutletReading, ...]:
        """Where it, or some of a set, waits to be sold."""
        if self.worked.record.state == "sold":
            return ()
        if self.worked.record.makes:
            return tuple(reading for reading, _ in self.standing)
        return (self.here,) if self.here else ()

    @cached_property
    def labels(self) -> dict[str, FibreLabel]:
        """Its fibre labels by market; none where a fibre is not known."""
        found: dict[str, FibreLabel] = _known(lambda worked: worked.labels, self.worked, {})
        return found

    def money(self, figure: Figure | None, finer: int = 0) -> str:
        return money(figure, self.sheet.minor + finer)


def figures_of(it: Costing) -> dict[Words, list[Figure]]:
    """Every figure of the sheet under its heading, for their workings."""
    own, r = it.own_sales, it.readings
    sheet = it.sheet
    of_one = (sheet.materials, sheet.labour, sheet.overhead, sheet.cost) if sheet.of_all else ()
    found: dict[Words, list[Figure | None]] = {
        Said("cost.price_heading"): [*of_one, sheet.worked_out_price]
    }
    for outlet in it.outlets:
        heading = Said("cost.at_outlet", outlet=outlet.outlet)
        found[heading] = [outlet.net, outlet.hourly, outlet.to_earn_the_pay]
    for each in it.sales:
        found.setdefault(Said("cost.the_sale"), []).extend((each.net, it.hour_of(each)))
    spans = (each for each in (own, it.own_hours) if each)
    found[Said("cost.readings_heading")] = [
        *(each.must_bring for each in it.hanging), r.per_square_metre, r.per_square_foot,
        *(end for each in spans for end in (each.least, each.most)),
    ]  # fmt: skip
    return {word: [one for one in figures if one] for word, figures in found.items()}


def data_of(it: Costing) -> dict[str, Any]:
    """The sheet with stable keys: money with the currency's decimals, hours and grams plain."""
    sheet = it.sheet
    fibres = _known(_fibres, it.worked, [])
    return {
        "number": sheet.number,
        "currency": sheet.currency,
        "materials": it.money(sheet.materials),
        "labour": it.money(sheet.labour),
        "overhead": it.money(sheet.overhead),
        "cost": it.money(sheet.cost),
        "worked out price": it.money(sheet.worked_out_price),
        "price": it.money(sheet.price),
        **_of_all(it),
        "hours": {line.activity: plain(line.hours.value) for line in sheet.labour_lines},
        "materials lines": [_line_data(it, line) for line in sheet.material_lines],
        "outlets": [_outlet_data(it, outlet) for outlet in it.outlets],
        "sales": [sale_data(each, sheet.minor) for each in it.sales],
        "fibres": fibres,
        "label certain": all(share["percent"] is not None for share in fibres),
        "waste grams": plain(it.worked.balance.waste / it.makes, 1),
        "fibre label": {market: each.text for market, each in it.labels.items()},
        "label notes": {market: list(each.prompts) for market, each in it.labels.items()},
        "light": _known(_light, it.worked, None),
    }


def _of_all(it: Costing) -> dict[str, Any]:
    """What all the like things of a record cost together; nothing for a single one."""
    spent = it.sheet.of_all
    if spent is None:
        return {}
    return {
        "makes": it.makes,
        "of all": {
            "materials": it.money(spent.materials),
            "labour": it.money(spent.labour),
            "overhead": it.money(spent.overhead),
            "cost": it.money(spent.cost),
        },
    }


def _line_data(it: Costing, line: MaterialLine) -> dict[str, Any]:
    grams = plain(line.amount) if line.amount is not None and line.unit == "g" else None
    return {"what": line.what, "grams": grams, "cost": it.money(line.cost)}


def _outlet_data(it: Costing, outlet: OutletReading) -> dict[str, Any]:
    earns = outlet.to_earn_the_pay
    return {
        "outlet": outlet.outlet,
        "net": it.money(outlet.net),
        "hourly return": plain(outlet.hourly.value, 4) if outlet.hourly else None,
        "price to earn the pay": it.money(earns) if earns else None,
    }


def sale_data(sale: Sold, minor: int) -> dict[str, str]:
    """A sale with stable keys."""
    return {
        "number": str(sale.piece.number),
        "on": sale.sale.on.isoformat(),
        "at": sale.at,
        "price": money(sale.price, minor),
        "kept back": money(sale.kept_back, minor),
        "net": money(sale.net, minor),
    }


def _known(tell: Callable[[Worked], Any], worked: Worked, otherwise: Any) -> Any:
    """What there is to tell of a piece, where it can be known."""
    try:
        return tell(worked)
    except Slip:
        return otherwise


def _fibres(worked: Worked) -> list[dict[str, Any]]:
    return [
        {
            "fibre": share.fibre,
            "percent": share.percent if share.is_certain else None,
            "low": int(half_up(share.low, 0)),
            "high": int(half_up(share.high, 0)),
            "grams in cloth": plain(share.grams / worked.record.made, 1),
        }
        for share in worked.fibres
    ]


def _light(worked: Worked) -> dict[str, Any]:
    light = worked.light
    years = [float(half_up(end.value, 2)) for end in light.years] if light.years else None
    return {
        "class": light.sensitivity,
        "blue wool": list(light.blue_wool) if light.blue_wool else None,
        "years": years,
    }
