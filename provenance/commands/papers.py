"""`papers`: everything a fair, gallery, guild shop or juried show needs, in papers/OUTLET/.

In: an outlet; or `--calibration` for the printer page, `--dye-book` for the maker's dye book,
`--light-card` for a card that hangs in the window. Out: sheets, their CSV files, the tags; for a
gallery the certificates, for a show the pictures.
"""

import sys
from collections.abc import Callable

import click

from provenance.build.outlets import make_for_outlet, write_papers
from provenance.commands.here import Here
from provenance.commands.made import tell_made
from provenance.commands.place import shown_path
from provenance.commands.told import Told
from provenance.papers.sheets.calibration import calibration as printer_page
from provenance.papers.sheets.frame import Paper
from provenance.problems import Said, WrongWish
from provenance.public.border import Border
from provenance.records.printing import own_shift
from provenance.reports.dye_book import dye_book
from provenance.reports.light_card import light_card

OF_THE_STUDIO: dict[str, tuple[tuple[str, ...], Callable[[Border], Paper]]] = {
    "calibration": ((), lambda it: printer_page(it.house, own_shift(it.studio.file.tags))),
    "dye_book": (("private",), dye_book),
    "light_card": (("private",), light_card),
}


@click.command("papers", cls=Told)
@click.argument("outlet", required=False)
@click.option("--calibration", is_flag=True)
@click.option("--dye-book", "dye_book", is_flag=True)
@click.option("--light-card", "light_card", is_flag=True)
@click.pass_obj
def command(here: Here, /, outlet: str | None, **wanted: bool) -> None:
    """Make the papers of an outlet."""
    if not (outlet or any(wanted.values())):
        names = ", ".join(here.studio.book.outlets)
        key = "papers.which" if names else "papers.which_none"
        raise WrongWish(Said(key, names=names))
    with here.turn("papers"):
        here.warn_of_mistakes()
        for below, made in (OF_THE_STUDIO[name] for name in OF_THE_STUDIO if wanted[name]):
            folder, paper = here.folder.joinpath("papers", *below), made(here.border)
            write_papers(folder, (paper,), here.studio.today)
            here.say(f"{shown_path(folder)}/{paper.name}")
        code = _outlet(here, here.border, outlet) if outlet else 0
    sys.exit(code)


def _outlet(here: Here, border: Border, outlet: str) -> int:
    """The exit code: 1 where not all that was asked for could be made."""
    return tell_made(here, None, *make_for_outlet(border, outlet, here.progress, shown_path))
