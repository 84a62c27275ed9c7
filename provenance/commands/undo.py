"""`undo`: the last deed is taken back; again, the one before it."""

import click

from provenance.commands.asking import carry_out
from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.deeds.doing import take_back
from provenance.deeds.journal import undoing


@click.command("undo", cls=Told)
@click.option("--yes", is_flag=True)
@click.pass_obj
def command(here: Here, /, *, yes: bool) -> None:
    """Put back what the last deed changed."""
    deed, kept = undoing(here.studio.book.folder)
    carry_out(here, deed, yes=yes, undo=lambda: take_back(here.folder, deed, kept))
