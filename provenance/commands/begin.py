"""A new record begun: written when it is our turn, and told.

In: what begins it. Out: its file, and lines that say where it lies and what comes next.
"""

from collections.abc import Callable

from provenance.build.starting import Started, write_started
from provenance.commands.here import Here
from provenance.commands.place import shown_path
from provenance.problems import Said, Slip
from provenance.studio import Studio


def begin(here: Here, record: Callable[[Studio], Started]) -> None:
    """Write the record of something new; never over another."""
    if not (here.folder / "studio").is_dir():
        raise Slip(Said("start.no_records"))
    with here.turn("start"):
        new = record(here.studio)
        write_started(here.folder, new)
    here.say(shown_path(here.folder / new.file))
    here.say(new.next)
