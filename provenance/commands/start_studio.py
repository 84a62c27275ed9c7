"""`start studio`: a record folder with a studio file, shelves to fill and pages, all explained."""

from pathlib import Path

import click

from provenance.build.starting import currency_of, language_of, start_studio
from provenance.commands.door import read_as
from provenance.commands.here import Here
from provenance.commands.place import shown_path, today
from provenance.commands.told import Told
from provenance.lock import lock
from provenance.problems import Said


@click.command("studio", cls=Told, key="start_studio")
@click.option("--folder", type=click.Path(path_type=Path))
@click.option("--name", default="")
@click.option("--maker", default="")
@click.option("--currency", default="GBP", callback=read_as(currency_of))
@click.option("--language", default="en-GB", callback=read_as(language_of))
@click.pass_obj
def studio(here: Here, /, folder: Path | None, **words: str) -> None:
    """Write the files that are not there yet."""
    place = (folder or here.asked or Path.cwd() / "pieces").resolve()
    with lock(place, "start"):
        new, whole = start_studio(place, words, today())
    path = shown_path(place)
    here.say(Said("start.missing", path=path, number=new) if new < whole else path)
    is_named = words["name"] and words["maker"]
    here.say(Said("start.studio_named_next" if is_named else "start.studio_next"))
