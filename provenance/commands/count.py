"""`count`: what a stock count found of a lot, or of all on a sheet; what is gone is lost."""

from pathlib import Path

import click

from provenance.commands.asking import carry_out
from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.deeds.counting import count, counted_on
from provenance.problems import Said, WrongWish


@click.command("count", cls=Told)
@click.argument("lot", required=False)
@click.argument("amount", required=False)
@click.option("--sheet", type=click.Path(path_type=Path), metavar="FILE.csv")
@click.option("--yes", is_flag=True)
@click.pass_obj
def command(
    here: Here, /, lot: str | None, amount: str | None, *, sheet: Path | None, yes: bool
) -> None:
    """Write what is really there."""
    if sheet and not lot:
        carry_out(here, counted_on(here.studio, sheet, here.phrases), yes=yes)
    elif lot and amount and not sheet:
        carry_out(here, count(here.studio, lot, amount), yes=yes)
    else:
        raise WrongWish(Said("deed.count_what"), Said("deed.count_such"))
