"""`catalogue`: the printed catalogue, for the printer, for the screen, as a booklet.

In: a show, or years, or neither for all works that are public. Out: three files in papers/NAME/ (of
a show) or papers/catalogue/; lines that tell them, or JSON with the page of every work.
"""

import sys

import click

from provenance.build.catalogue import Wishes, catalogue_data, make_catalogue, write_catalogue
from provenance.commands.here import Here
from provenance.commands.made import tell_made
from provenance.commands.place import shown_path
from provenance.commands.told import Told

YEAR = click.IntRange(1900, 2999)


@click.command("catalogue", cls=Told)
@click.option("--show", "of_show", metavar="NAME")
@click.option("--from", "first", type=YEAR, metavar="YEAR")
@click.option("--to", "last", type=YEAR, metavar="YEAR")
@click.option("--json", "is_json", is_flag=True)
@click.pass_obj
def command(
    here: Here, of_show: str | None, first: int | None, last: int | None, *, is_json: bool
) -> None:
    """Make the printed catalogue."""
    with here.turn("catalogue"):
        if not is_json:
            here.warn_of_mistakes()
        with here.progress("catalogue") as progress:
            wishes = Wishes(of_show or "", first, last)
            made = make_catalogue(here.border, wishes, progress.tell_of)
        lines = list(write_catalogue(here.border, made, shown_path))
    sys.exit(tell_made(here, catalogue_data(made) if is_json else None, lines, made.problems))
