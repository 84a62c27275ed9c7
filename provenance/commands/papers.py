"""`papers`: everything a fair, gallery, guild shop or juried show needs, in papers/OUTLET/.

In: an outlet; or `--calibration` for the printer page, `--dye-book` for the maker's dye book,
`--light-card` for a card that hangs in the window. Out: sheets, their CSV files, the tags; for a
gallery the certificates, for a show the pictures.
"""

import sys

import click

from provenance.build.outlets import make_for_outlet, write_papers
from provenance.commands.here import Here
from provenance.commands.place import shown_path
from provenance.commands.told import Told
from provenance.papers.sheets.calibration import calibration as printer_page
from provenance.papers.sheets.frame import Paper
from provenance.problems import Said, WrongWish
from provenance.public.border import Border
from provenance.records.printing import own_shift
from provenance.reports.dye_book import dye_book as dye_pages
from provenance.reports.light_card import light_card as card_for_window


@click.command("papers", cls=Told)
@click.argument("outlet", required=False)
@click.option("--calibration", is_flag=True)
@click.option("--dye-book", "dye_book", is_flag=True)
@click.option("--light-card", "light_card", is_flag=True)
@click.pass_obj
def command(
    here: Here, outlet: str | None, *, calibration: bool, dye_book: bool, light_card: bool
) -> None:
    """Make the papers of an outlet."""
    if not (outlet or calibration or dye_book or light_card):
        names = ", ".join(here.studio.book.outlets)
        key = "papers.which" if names else "papers.which_none"
        raise WrongWish(Said(key, names=names))
    with here.turn("papers"):
        here.warn_of_mistakes()
        border = here.border
        if calibration:
            _file(here, printer_page(border.house, own_shift(here.studio.file.tags)))
        if dye_book:
            _file(here, dye_pages(border), "private")
        if light_card:
            _file(here, card_for_window(border), "private")
        sound = _outlet(here, border, outlet) if outlet else True
    sys.exit(0 if sound else 1)


def _file(here: Here, paper: Paper, *below: str) -> None:
    folder = here.folder.joinpath("papers", *below)
    write_papers(folder, (paper,))
    click.echo(f"{shown_path(folder)}/{paper.name}")


def _outlet(here: Here, border: Border, outlet: str) -> bool:
    """Whether all that was asked for could be made."""
    lines, problems = make_for_outlet(border, outlet, here.progress, shown_path)
    for line in lines:
        here.say(line)
    here.tell(problems)
    return all(problem.is_remark for problem in problems)
