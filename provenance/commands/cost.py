"""`cost`: what pieces cost, what their prices bring at every outlet, and how it was worked out.

In: numbers of pieces, or none for all. Out: a sheet for one or a few, a line each for all, JSON,
or papers for the binder.
"""

import click

from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.commands.writing import file_papers, write_out
from provenance.reports.cost import cost_report, costs_report


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
    if is_pdf:
        file_papers(here, [cost_report(each, explain=explain) for each in pieces])
    if is_json or not is_pdf:
        by_itself = numbers or (explain and not is_json)
        reports = map(cost_report, pieces) if by_itself else [costs_report(here.studio, pieces)]
        write_out(here, list(reports), is_json=is_json, explain=explain)
