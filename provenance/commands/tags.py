"""`tags`: hang-tags on sheets, in papers/.

In: numbers or an outlet, what the sheets are to be like. Out: `papers/tags.pdf` (for an outlet
`papers/tags-OUTLET.pdf`), and a line in studio/printed.yaml for every tag that says something new.
The file is written first: a run that is killed between the two leaves the tags due.
"""

from __future__ import annotations

import sys
from typing import Any

import click

from provenance.build.tags import TagRun, Wishes, print_tags
from provenance.build.tags_due import note_lines
from provenance.build.told import tag_lines
from provenance.commands.door import read_as
from provenance.commands.here import Here
from provenance.commands.place import shown_path
from provenance.commands.told import Told
from provenance.output import append_text, write_file
from provenance.records.printing import sheet_of, shift_of, size_of


@click.command("tags", cls=Told)
@click.argument("numbers", nargs=-1, metavar="[NUMBER...]")
@click.option("--for", "outlet", metavar="OUTLET")
@click.option("--changed", is_flag=True)
@click.option("--from-cell", type=click.IntRange(1), default=1, metavar="N")
@click.option("--size", callback=read_as(size_of, as_written=True))
@click.option("--sheet", callback=read_as(sheet_of, as_written=True))
@click.option("--shift", callback=read_as(shift_of, as_written=True))
@click.option("--black/--colour", default=None)
@click.option("--stub/--no-stub", default=None)
@click.pass_obj
def command(here: Here, /, numbers: tuple[str, ...], **wished: Any) -> None:
    """Print tags."""
    with here.turn("tags"):
        run = _print(here, Wishes(numbers=numbers, **wished))
    sys.exit(1 if run.problems else 0)


def _print(here: Here, wishes: Wishes) -> TagRun:
    border, papers = here.border, here.folder / "papers"
    here.warn_of_mistakes()
    with here.progress("tags") as progress:
        run = print_tags(border, wishes, progress.tell)
    path = papers / (f"tags-{wishes.outlet}.pdf" if wishes.outlet else "tags.pdf")
    if run.content:
        write_file(path, run.content)
        if lines := note_lines(here.studio, run.notes):
            append_text(here.folder / "studio" / "printed.yaml", lines)
    for line in tag_lines(run, shown_path(path), has_site=bool(border.house.site)):
        here.say(line)
    here.tell(run.problems)
    return run
