"""`show`: everything an exhibition needs, in papers/NAME/.

In: the name of a show's record. Out: its papers, lines that tell them; or JSON with every work's
place on its wall.
"""

import sys

import click

from provenance.build.exhibition import show_data, show_papers, write_show
from provenance.commands.here import Here
from provenance.commands.made import tell_made
from provenance.commands.place import shown_path
from provenance.commands.told import Told
from provenance.problems import Said, WrongWish


@click.command("show", cls=Told)
@click.argument("name", required=False)
@click.option("--json", "is_json", is_flag=True)
@click.pass_obj
def command(here: Here, name: str | None, *, is_json: bool) -> None:
    """Make the papers of a show."""
    if not name:
        names = ", ".join(here.studio.book.shows)
        raise WrongWish(Said("show.which" if names else "show.which_none", names=names))
    with here.turn("show"):
        if not is_json:
            here.warn_of_mistakes()
        with here.progress("papers") as progress:
            made = show_papers(here.border, name, progress.tell)
        lines = list(write_show(here.border, made, shown_path))
    sys.exit(tell_made(here, show_data(made) if is_json else None, lines, made.problems))
