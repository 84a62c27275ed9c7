"""`build`: the public site, and all hang-tags and certificates that are due; or a former site.

Loads little: what renders papers is being loaded by a worker before the records' rooms are here.
"""

from pathlib import Path

import click

from provenance.build.crew import crew
from provenance.build.early import has_new_records, note_built
from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.output.generations import MOST


@click.command("build", cls=Told)
@click.option("--to", "target", type=click.Path(path_type=Path))
@click.option("--only-tell", is_flag=True)
@click.option("--yes", is_flag=True)
@click.option("--back", is_flag=False, flag_value=1, type=click.IntRange(1, MOST))
@click.option("--json", "is_json", is_flag=True)
@click.pass_obj
def command(
    here: Here, target: Path | None, back: int | None, *, only_tell: bool, yes: bool, is_json: bool
) -> None:
    """Build the site, and the tags and certificates that are due."""
    with crew(is_early=not back and has_new_records(here.folder)) as hands:
        from provenance.commands.building import Wish, built, tell

        made = built(here, hands, Wish(target, back, only_tell, yes))
        note_built(here.folder)
    tell(here, made, is_json=is_json)
