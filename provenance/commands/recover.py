"""`recover`: the list of printed numbers is put together again from all that knows of it."""

import sys

import click

from provenance.build.recovering import put_back, recovery
from provenance.commands.consent import ask_to_write
from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.problems import Said


@click.command("recover", cls=Told)
@click.option("--yes", is_flag=True)
@click.pass_obj
def command(here: Here, /, *, yes: bool) -> None:
    """Show the lines that are missing, ask, and write the list anew."""
    with here.turn("recover"):
        book, today = here.studio.book, here.studio.today
        found = recovery(book, today)
        for words in found.told:
            here.say(words)
        if not found.is_needed:
            sys.exit(0)
        ask_to_write(here, yes=yes)
        put_back(book, found, today)
    here.say(Said("ledger.done", number=len(found.missing)))
