"""What `build` does once it has its workers: a new site, or a former one, and what is told of it.

In: the studio, workers, what was wished. Out: lines, or one object, and the run's end.
"""

import sys
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from provenance.build.as_before import as_before
from provenance.build.back import put_back
from provenance.build.crew import Crew
from provenance.build.held_up import stopping, target_of
from provenance.build.seen import Built
from provenance.commands.consent import allow_loss
from provenance.commands.here import Here
from provenance.commands.voice import show
from provenance.problems import Said, Slip
from provenance.publish.remembered import reminded
from provenance.reports.writers.data import as_json


@dataclass(frozen=True, slots=True)
class Wish:
    """Where to build to, how many sites to go back, whether only to tell, whether to ask."""

    target: Path | None
    back: int | None
    only_tell: bool
    yes: bool


def built(here: Here, crew: Crew, wish: Wish) -> Built:
    """The site, and the papers that are due, when it is our turn."""
    folder = target_of(wish.target, here.folder)
    with here.turn("build"):
        if wish.back:
            return put_back(here.studio, folder, wish.back, only_tell=wish.only_tell)
        if found := stopping(here.studio):
            here.tell(found)
            raise Slip(Said("build.mend_first"))
        if not wish.only_tell and (before := as_before(here.studio, folder)):
            return before
        crew.warm_up()
        from provenance.build.whole import build_all

        allow = None if wish.only_tell else partial(allow_loss, here, yes=wish.yes)
        return build_all(here.border, folder, crew, here.progress, allow=allow)


def tell(here: Here, made: Built, *, is_json: bool) -> None:
    """What was made, and what is wrong; ends the run."""
    if is_json:
        show(as_json(made.data, here.phrases))
    for line in () if is_json else (*made.lines, *reminded(here.studio)):
        here.say(line)
    here.tell(made.problems)
    sys.exit(1 if made.problems else 0)
