"""`build`: the public site, and all hang-tags and certificates that are due; or a former site."""

import sys
from functools import partial
from pathlib import Path

import click

from provenance.build.as_before import as_before, has_new_records
from provenance.build.back import put_back
from provenance.build.crew import crew
from provenance.build.held_up import stopping, target_of
from provenance.build.seen import Built
from provenance.commands.consent import allow_loss
from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.commands.voice import show
from provenance.output.generations import MOST
from provenance.problems import Said, Slip
from provenance.publish.remembered import reminded
from provenance.reports.writers.data import as_json


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
    folder = target_of(target, here.folder)
    with here.turn("build"):
        if back:
            built = put_back(here.studio, folder, back, only_tell=only_tell)
        else:
            built = _build(here, folder, only_tell=only_tell, yes=yes)
    if is_json:
        show(as_json(built.data, here.phrases))
    for line in () if is_json else (*built.lines, *reminded(here.studio)):
        here.say(line)
    here.tell(built.problems)
    sys.exit(1 if built.problems else 0)


def _build(here: Here, folder: Path, *, only_tell: bool, yes: bool) -> Built:
    with crew(is_early=has_new_records(here.folder)) as hands:  # one loads while records are read
        if found := stopping(here.studio):
            here.tell(found)
            raise Slip(Said("build.mend_first"))
        if not only_tell and (built := as_before(here.studio, folder)):
            return built
        hands.warm_up()
        from provenance.build.whole import build_all

        allow = None if only_tell else partial(allow_loss, here, yes=yes)
        return build_all(here.border, folder, hands, here.progress, allow=allow)
