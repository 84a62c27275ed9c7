"""What holds a build up before it begins: a place that is not its own, records that can't be read.

In: the folder asked for, the studio. Out: nothing, or a Slip, or the mistakes to mend.
"""

from pathlib import Path

from provenance.build.start_words import kept_from_others
from provenance.problems import Problem, Said, WrongWish
from provenance.studio import Studio


def target_of(target: Path | None, records: Path) -> Path:
    """The folder of the site, beside the records unless told: never a file, never the records or
    what holds them."""
    folder = (target or records.parent / "site").resolve()
    records = records.resolve()
    if folder.exists() and not folder.is_dir():
        raise WrongWish(Said("build.is_file", folder=str(folder)))
    if folder.is_relative_to(records) or records.is_relative_to(folder):
        raise WrongWish(Said("build.holds_records", folder=str(folder)))
    return folder


def stopping(studio: Studio) -> tuple[Problem, ...]:
    """What stops a build: a record that can't be read would vanish from the site, and what the
    start files say is not the maker's own. A show that was just begun stays at home, and stops
    nothing (`Studio.is_at_home`)."""
    mistakes = tuple(each for each in studio.mistakes if each not in studio.of_photos)
    return (*mistakes, *kept_from_others(studio, "studio", "pages", "pieces"))
