"""`desk`: records and what becomes of them, in the browser of this machine.

In: a port, whether the browser is opened, whether it may only be looked at. Out: the address, in
one line; the desk ends with the terminal.
"""

import threading
import webbrowser

import click

from provenance.commands.here import Here
from provenance.commands.place import today
from provenance.commands.told import Told
from provenance.problems import Said


@click.command("desk", cls=Told)
@click.option("--port", type=click.IntRange(0, 65535), default=0)
@click.option("--no-browser", is_flag=True)
@click.option("--only-look", is_flag=True)
@click.pass_obj
def command(here: Here, /, port: int, *, no_browser: bool, only_look: bool) -> None:
    """Open the desk."""
    from provenance.desk.desk import Desk
    from provenance.desk.door import door
    from provenance.desk.serving import address, noted, refuse_second, served, until_ended
    from provenance.workers import workers

    refuse_second(here.folder)
    with workers(2, afresh=True) as pool:
        site = here.folder.parent / "site"
        desk = Desk(here.folder, today, pool, only_look=only_look, site=site)
        with served(desk, port), noted(desk), door(desk, address(desk, desk.opening)) as way_in:
            here.say(Said("desk.open_at", address=address(desk)))

            def wait() -> None:
                if not no_browser:
                    webbrowser.open(way_in)
                threading.Event().wait()

            until_ended(wait)
    here.say(Said("desk.ended"))
