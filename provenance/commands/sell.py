"""`sell`: a piece was sold; its record says when, where, to whom and for how much."""

from typing import Any

import click

from provenance.commands.asking import carry_out
from provenance.commands.door import read_as
from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.deeds.selling import Wished, sell
from provenance.records.fields import day


@click.command("sell", cls=Told)
@click.argument("number")
@click.argument("price")
@click.option("--at", metavar="OUTLET")
@click.option("--on", metavar="DATE", callback=read_as(day))
@click.option("--to", metavar="WORDS")
@click.option("--items", type=click.IntRange(1), metavar="N")
@click.option("--yes", is_flag=True)
@click.pass_obj
def command(here: Here, /, number: str, price: str, *, yes: bool, **told: Any) -> None:
    """Write the sale into the record."""
    carry_out(here, sell(here.studio, number, Wished(price, **told)), yes=yes)
