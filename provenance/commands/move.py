"""`move`: pieces go to an outlet, or come back from one that did not sell them."""

import click

from provenance.commands.asking import carry_out
from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.deeds.moving import move
from provenance.problems import Said, WrongWish


@click.command("move", cls=Told)
@click.argument("numbers", nargs=-1, metavar="[NUMBER]...")
@click.argument("outlet")
@click.option("--from", "source", metavar="OUTLET")
@click.option("--yes", is_flag=True)
@click.pass_obj
def command(
    here: Here, /, numbers: tuple[str, ...], outlet: str, *, source: str | None, yes: bool
) -> None:
    """Write where they are into the records."""
    if not numbers and source is None:
        raise WrongWish(Said("deed.move_what"), Said("deed.move_such"))
    carry_out(here, move(here.studio, numbers, outlet, source), yes=yes)
