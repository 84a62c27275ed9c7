"""`count`: what a stock count found of a lot; the difference is written as lost."""

import click

from provenance.commands.asking import carry_out
from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.deeds.counting import count


@click.command("count", cls=Told)
@click.argument("lot")
@click.argument("amount")
@click.option("--yes", is_flag=True)
@click.pass_obj
def command(here: Here, /, lot: str, amount: str, *, yes: bool) -> None:
    """Write what is really there."""
    carry_out(here, count(here.studio, lot, amount), yes=yes)
