"""`publish`: the site goes to the place that studio/publish.yaml names."""

from pathlib import Path

import click

from provenance.commands.consent import ask, is_terminal
from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.commands.voice import show
from provenance.problems import Said, WrongWish
from provenance.reports.writers.data import as_json


@click.command("publish", cls=Told)
@click.option("--site", "folder", type=click.Path(path_type=Path))
@click.option("--only-tell", is_flag=True)
@click.option("--yes", is_flag=True)
@click.option("--json", "is_json", is_flag=True)
@click.pass_obj
def command(here: Here, folder: Path | None, *, only_tell: bool, yes: bool, is_json: bool) -> None:
    """Send the site to its public place."""
    site = (folder or here.folder.parent / "site").resolve()
    with here.turn("publish"):
        _publish(here, site, only_tell=only_tell, yes=yes, is_json=is_json)


def _publish(here: Here, site: Path, *, only_tell: bool, yes: bool, is_json: bool) -> None:
    from provenance.publish.opening import place_for, told_place
    from provenance.publish.ready import settings_for

    settings = settings_for(here.studio, site)
    address = str(here.studio.book.studio.site or "")
    with place_for(settings, here.folder) as place:
        from provenance.publish.going_out import proposal

        found = proposal(place, told_place(settings), site, address)
        if is_json:
            show(as_json(found.json(), here.phrases))
        else:
            for words in found.told(whole=only_tell):
                here.say(words)
        if only_tell:
            return
        if found.is_done:
            here.say(Said("publishing.as_it_is"))
            return
        _ask(here, loses_many=found.loses_many, yes=yes)
        with here.progress("publishing") as bar:
            found.carry_out(bar.tell)
        for words in found.done():
            here.say(words, err=is_json)


def _ask(here: Here, *, loses_many: bool, yes: bool) -> None:
    if not yes:
        if not is_terminal():
            raise WrongWish(Said("deed.nobody"), Said("deed.say_yes"))
        ask(here, "publishing.ask_loss" if loses_many else "publishing.ask")
