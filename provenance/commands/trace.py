"""`trace`: a piece back to fleece and dyestuff, a lot forward to every piece.

In: a number, a lot or a bath. Out: trees with grams at each step and what is left, or JSON.
"""

import click

from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.commands.writing import write_out
from provenance.reports.trace import trace_reports


@click.command("trace", cls=Told)
@click.argument("name")
@click.option("--explain", is_flag=True)
@click.option("--json", "is_json", is_flag=True)
@click.pass_obj
def command(here: Here, *, name: str, explain: bool, is_json: bool) -> None:
    """Follow it both ways, and show it as asked."""
    write_out(here, trace_reports(here.studio, name), is_json=is_json, explain=explain)
