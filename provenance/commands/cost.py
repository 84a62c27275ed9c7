"""`cost`: what pieces cost, what their prices bring at every outlet, and how it was worked out.

In: numbers of pieces, or none for all. Out: a sheet for one or a few, a line each for all, or
JSON.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

import click

from provenance.commands.showing import money
from provenance.commands.studio import Here, Opened, warn_of
from provenance.figures.fibre.of_piece import piece_fibres, piece_labels
from provenance.figures.light.guidance import Light
from provenance.figures.light.of_piece import piece_light
from provenance.figures.money.cost import CostSheet, MaterialLine, cost_sheet
from provenance.figures.money.own_sales import OwnSales, own_sales
from provenance.figures.money.price import (
    OutletReading,
    Readings,
    area_of,
    at_sale_price,
    outlet_reading,
    readings,
)
from provenance.figures.working import Figure, half_up, plain
from provenance.problems import Slip
from provenance.records.pieces import Piece


@dataclass(frozen=True, slots=True)
class Costing:
    """Everything the sheet of one piece says; `sale` is what its sale brought."""

    piece: Piece
    sheet: CostSheet
    outlets: tuple[OutletReading, ...]
    sale: OutletReading | None
    readings: Readings
    own_sales: OwnSales | None
    light: Light | None

    def figures(self) -> dict[str, list[Figure]]:
        """Every figure of the sheet under its heading, for their workings."""
        own, r = self.own_sales, self.readings
        found: dict[str, list[Figure | None]] = {"Cost and price": [self.sheet.worked_out_price]}
        for outlet in self.outlets:
            found[f"At {outlet.outlet}"] = [outlet.net, outlet.hourly, outlet.to_earn_the_pay]
        if self.sale:
            found["The sale"] = [self.sale.net, self.sale.hourly]
        found["Readings"] = [r.twice_cost, r.four_times_cost, r.three_times_materials]
        found["Readings"] += [r.per_cm2, r.per_square_foot]
        found["Readings"] += [own.least, own.most] if own else []
        return {word: [one for one in figures if one] for word, figures in found.items()}


@click.command("cost")
@click.argument("numbers", nargs=-1, metavar="[NUMBER]...")
@click.option("--explain", is_flag=True, help="Every working, down to the line of the record.")
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
@click.option("--pdf", "as_pdf", is_flag=True, help="For the binder, to papers/private/.")
@click.pass_obj
def command(
    here: Here, *, numbers: tuple[str, ...], explain: bool, as_json: bool, as_pdf: bool
) -> None:
    """What pieces cost, and what their prices bring at every outlet.

    Without a NUMBER: all pieces, a line each.
    """
    opened = here.studio
    pieces = opened.pieces(numbers)
    costings = [work_out(opened, piece) for piece in pieces]
    if as_pdf:
        from provenance.commands.private_papers import write_cost_sheets

        write_cost_sheets(here, opened, costings)
    if as_json:
        found = [as_data(opened, each) for each in costings]
        shown: Any = found[0] if len(numbers) == 1 else found
        click.echo(json.dumps(shown, ensure_ascii=False, indent=1))
        return
    if as_pdf:
        return
    from provenance.commands.cost_sheet import show_all, show_sheets

    warn_of(opened)
    if numbers or explain:
        show_sheets(opened, costings, explain=explain)
    else:
        show_all(opened, costings)


def work_out(opened: Opened, piece: Piece) -> Costing:
    """All figures of one piece."""
    book = opened.book
    sheet, tax = cost_sheet(book, opened.flow, piece), book.studio.prices.tax
    try:
        light = piece_light(book, piece)
    except Slip:
        light = None
    return Costing(
        piece,
        sheet,
        tuple(outlet_reading(sheet, outlet, tax) for outlet in book.outlets.values()),
        _sale(opened, piece, sheet),
        readings(sheet, area_of(piece)),
        own_sales(book, piece),
        light,
    )


def _sale(opened: Opened, piece: Piece, sheet: CostSheet) -> OutletReading | None:
    """What the sale of a piece brought, where it was sold; None for unsold ones."""
    sale = piece.sale
    outlet = opened.book.outlets.get(str(sale.at or piece.at or "")) if sale else None
    if outlet is None:
        return None
    return outlet_reading(at_sale_price(sheet, piece), outlet, opened.book.studio.prices.tax)


def as_data(opened: Opened, costing: Costing) -> dict[str, Any]:
    """The sheet with stable keys: money with the currency's decimals, hours and grams plain."""
    sheet = costing.sheet
    sums = {
        "materials": sheet.materials,
        "labour": sheet.labour,
        "overhead": sheet.overhead,
        "cost": sheet.cost,
        "worked out price": sheet.worked_out_price,
        "price": sheet.price,
    }
    return {
        "number": sheet.number,
        "currency": sheet.currency,
        **{word: money(figure, sheet.minor) for word, figure in sums.items()},
        "hours": {line.activity: plain(line.hours.value) for line in sheet.labour_lines},
        "materials lines": [_line(line, sheet) for line in sheet.material_lines],
        "outlets": [_outlet(outlet, sheet) for outlet in costing.outlets],
        "fibres": _fibres(opened, costing.piece),
        "fibre label": _labels(opened, costing.piece),
        "light": _light(costing.light),
    }


def _line(line: MaterialLine, sheet: CostSheet) -> dict[str, Any]:
    grams = plain(line.amount) if line.amount is not None and line.unit == "g" else None
    return {"what": line.what, "grams": grams, "cost": money(line.cost, sheet.minor)}


def _outlet(outlet: OutletReading, sheet: CostSheet) -> dict[str, Any]:
    earns = outlet.to_earn_the_pay
    return {
        "outlet": outlet.outlet,
        "net": money(outlet.net, sheet.minor),
        "hourly return": plain(outlet.hourly.value, 4) if outlet.hourly else None,
        "price to earn the pay": money(earns, sheet.minor) if earns else None,
    }


def _fibres(opened: Opened, piece: Piece) -> list[dict[str, Any]]:
    try:
        found = piece_fibres(opened.book, piece)
    except Slip:
        return []
    return [{"fibre": share.fibre, "percent": share.percent} for share in found]


def _labels(opened: Opened, piece: Piece) -> dict[str, str]:
    try:
        return {market: each.text for market, each in piece_labels(opened.book, piece).items()}
    except Slip:
        return {}


def _light(light: Light | None) -> dict[str, Any] | None:
    if light is None:
        return None
    years = [float(half_up(end.value, 2)) for end in light.years] if light.years else None
    return {
        "class": light.sensitivity,
        "blue wool": list(light.blue_wool) if light.blue_wool else None,
        "years": years,
    }
