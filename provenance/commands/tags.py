"""`tags`: hang-tags on sheets, in papers/.

In: numbers or an outlet, what the sheets are to be like. Out: `papers/tags.pdf` (for an outlet
`papers/tags-OUTLET.pdf`), and a line in studio/printed.yaml for every tag that says something new.
"""

import sys
from typing import Any

import click

from provenance.build.tags import Wishes, file_tags
from provenance.build.told import tag_lines
from provenance.commands.door import read_as
from provenance.commands.here import Here
from provenance.commands.place import shown_path
from provenance.commands.told import Told
from provenance.records.printing import sheet_of, shift_of, size_of


@click.command("tags", cls=Told)
@click.argument("numbers", nargs=-1, metavar="[NUMBER...]")
@click.option("--for", "outlet", metavar="OUTLET")
@click.option("--changed", is_flag=True)
@click.option("--from-cell", type=click.IntRange(1), default=1, metavar="N")
@click.option("--size", callback=read_as(size_of))
@click.option("--sheet", callback=read_as(sheet_of))
@click.option("--shift", callback=read_as(shift_of))
@click.option("--black/--colour", default=None)
@click.option("--stub/--no-stub", default=None)
@click.pass_obj
def command(here: Here, /, numbers: tuple[str, ...], **wished: Any) -> None:
    """Print tags, and tell of them."""
    with here.turn("tags"):
        border = here.border
        here.warn_of_mistakes()
        with here.progress("tags") as progress:
            run, path = file_tags(border, Wishes(numbers=numbers, **wished), progress.tell)
    for line in tag_lines(run, shown_path(path), has_site=bool(border.house.site)):
        here.say(line)
    here.tell(run.problems)
    sys.exit(1 if run.problems else 0)
