"""Bare `provenance`: in about ten lines, what to do next in this studio; or its register."""

from itertools import islice
from pathlib import Path

from provenance.build.waiting import Waiting, all_waiting
from provenance.commands.fitting import fits, fitted
from provenance.commands.here import Here
from provenance.commands.voice import show, styled
from provenance.output import write_file
from provenance.problems import Said
from provenance.public.names import studio_title
from provenance.reports.register import register
from provenance.reports.writers.data import as_csv

MOST = 10


def show_today(here: Here) -> None:
    """Print what wants doing, most urgent first, and how to go on."""
    if not here.folder.is_dir():
        here.say(Said("today.no_records"))
        return
    name = studio_title(here.phrases, here.studio.file)
    head = Said("today.head", studio=name, day=here.studio.today)
    show(styled(fitted(here.phrases.tell(head)), bold=True))
    found = all_waiting(here.border)
    for each in islice(found, MOST):
        _show(here, each)
    if len(found) > MOST:
        here.say(Said("today.more", count=len(found) - MOST))
    if not found:
        here.say(Said("today.nothing"))
    here.say(Said("today.help"))


def write_register(here: Here, path: Path) -> None:
    """Every piece on a line, for a spreadsheet."""
    if rows := register(here.studio).rows:
        write_file(path.absolute(), as_csv(rows(), here.phrases))
    here.say(Said("today.register", number=len(here.studio.book.pieces), path=str(path)), err=True)


def _show(here: Here, each: Waiting) -> None:
    if each.command:
        command = f"provenance {each.command}"
        line = here.phrases.tell(Said("today.line", what=each.what, command=command))
        line = line if fits(line) else line.replace("  ->", "\n    ->")
        before, _, after = line.rpartition(command)
        what, _, arrow = before.rpartition("\n")  # the command stays whole, to be copied
        show(f"{fitted(what)}\n{arrow}" if what else arrow, styled(command, fg="cyan"), after)
    else:
        here.say(Said("today.remark", what=each.what))
