"""Papers for the maker's binder: cost sheets and the stock, written to papers/private/.

In: what `cost` and `stock` have worked out. Out: PDF files, never among what the public sees.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import click

from provenance.commands.build import make_setting
from provenance.commands.showing import Guides, Workings
from provenance.commands.studio import Here, Opened, refuse, shown_path
from provenance.language.phrases import british
from provenance.language.telling import told_in_line
from provenance.lock import lock
from provenance.output import write_file
from provenance.problems import Problems, Slip
from provenance.reference.currencies import minor_unit

if TYPE_CHECKING:
    from provenance.commands.cost import Costing
    from provenance.figures.stock.stock import GoodsSold, Stock
    from provenance.papers.sheets.frame import Sheet

SET_IN: Guides = ("  ", "  ", "  ", "  ")
_UNWRAPPED = 100_000


def write_cost_sheets(here: Here, opened: Opened, costings: Sequence[Costing]) -> None:
    """A cost sheet with all its workings for each piece."""
    from provenance.reports.cost_paper import cost_paper

    setting = make_setting(opened, Problems())
    try:
        sheets = [cost_paper(setting, each.piece, workings_of(opened, each)) for each in costings]
    except Slip as slip:
        refuse(told_in_line(slip, british()), 1)
    _write(here, sheets)


def workings_of(opened: Opened, costing: Costing) -> Mapping[str, Sequence[str]]:
    """Every working as on the terminal, set in by two spaces a step, not wrapped."""
    currency = str(opened.book.studio.currency)
    workings = Workings(currency, minor_unit(currency), _UNWRAPPED, SET_IN)
    return {
        heading: [line for figure in figures for line in workings.lines(figure)]
        for heading, figures in costing.figures().items()
    }


def write_stock(here: Here, opened: Opened, stock: Stock, goods: GoodsSold | None) -> None:
    """The stock of a day, for the books and the insurer."""
    from provenance.reports.stock_paper import stock_paper

    setting = make_setting(opened, Problems())
    try:
        sheet = stock_paper(setting, stock, goods)
    except Slip as slip:
        refuse(told_in_line(slip, british()), 1)
    _write(here, [sheet])


def _write(here: Here, sheets: Sequence[Sheet]) -> None:
    folder = here.folder / "papers" / "private"
    try:
        with lock(here.folder, "papers"):
            for sheet in sheets:
                write_file(folder / sheet.name, sheet.content)
                click.echo(f"{sheet.about}: {shown_path(folder / sheet.name)}", err=True)
    except Slip as slip:
        refuse(told_in_line(slip, british()), 1)
