"""`publish`: the site goes to the place that studio/publish.yaml names; `--check` opens every
printed address afterwards, as whoever scans a tag does, and exits with 1 where one is wrong."""

import sys
from pathlib import Path

import click

from provenance.commands.copies import or_records
from provenance.commands.here import Here
from provenance.commands.publish_sending import publish_site
from provenance.commands.told import Told
from provenance.commands.voice import show
from provenance.reports.writers.data import as_json


@click.command("publish", cls=Told)
@click.option("--site", "folder", type=click.Path(path_type=Path))
@click.option("--only-tell", is_flag=True)
@click.option("--yes", is_flag=True)
@click.option("--check", "checks", is_flag=True)
@click.option("--at", metavar="URL", default="")
@click.option("--json", "is_json", is_flag=True)
@click.pass_obj
@or_records
def command(
    here: Here, /, folder: Path | None, at: str, *, checks: bool, is_json: bool, **how: bool
) -> None:
    """Send the site to its public place."""
    site = (folder or here.folder.parent / "site").resolve()
    if checks or at:
        sys.exit(_check(here, site, at, is_json=is_json))
    with here.turn("publish"):
        publish_site(here, site, is_json=is_json, **how)


def _check(here: Here, site: Path, at: str, *, is_json: bool) -> int:
    """Tell what came of each printed address, and write what leads on from a former one: 0 or 1."""
    from provenance.publish.before import served_names
    from provenance.publish.printed_addresses import printed_addresses
    from provenance.publish.redirects import is_only_other_way, write_redirects
    from provenance.publish.served import open_all, refuse_address
    from provenance.publish.served_lines import served_data, served_lines

    book = here.studio.book
    refuse_address(at)
    with here.turn("publish"):
        printed = printed_addresses(book, site)
        rules = write_redirects(book, printed, site, served_names(site), here.phrases)
    served = open_all(book, printed, site, at)
    if is_json:
        show(as_json(served_data(served, rules), here.phrases))
    else:
        for words in served_lines(
            served, rules, is_only_other_way=is_only_other_way(book, printed)
        ):
            here.say(words)
    return 0 if served.is_well else 1
