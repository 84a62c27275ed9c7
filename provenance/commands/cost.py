"""`cost`: what pieces cost, what their prices bring at every outlet, and how it was worked out.

In: numbers of pieces, or none for all. Out: a sheet for one or a few, a line each for all, JSON,
or papers for the binder.
"""

from __future__ import annotations

import click

from provenance.commands.filing import file_papers
from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.reports.cost import cost_report, costs_report
from provenance.reports.writers import terminal
from provenance.reports.writers.json import as_json


@click.command("cost", cls=Told)
@click.argument("numbers", nargs=-1, metavar="[NUMBER]...")
@click.option("--explain", is_flag=True)
@click.option("--json", "is_json", is_flag=True)
@click.option("--pdf", "is_pdf", is_flag=True)
@click.pass_obj
def command(
    here: Here, *, numbers: tuple[str, ...], explain: bool, is_json: bool, is_pdf: bool
) -> None:
    """Work the pieces out, and write them as asked."""
    pieces = [each for each in here.studio.pieces(numbers) if numbers or each.record.can_be_costed]
    reports = [cost_report(each) for each in pieces]
    if is_pdf:
        file_papers(here, reports)
    if is_json:
        found = [report.data for report in reports]
        click.echo(as_json(found[0] if len(numbers) == 1 else found, here.phrases))
    elif not is_pdf:
        here.warn_of_mistakes()
        shown = reports if numbers or explain else [costs_report(here.studio, pieces)]
        terminal.write(shown, here.phrases, explain=explain)
