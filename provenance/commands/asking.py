"""Deeds at the terminal: their lines are shown, the maker is asked, then they are done.

In: a deed, whether `--yes` was said. Out: done and noted, or nothing changed. Without a terminal
nobody can be asked.
"""

import sys
from collections.abc import Callable

import click

from provenance.commands.here import Here
from provenance.commands.voice import show, styled
from provenance.deeds.deed import Change, Deed, hunks_of
from provenance.deeds.doing import do
from provenance.problems import Said, WrongWish

MOST_LINES = 40


def carry_out(here: Here, deed: Deed, *, yes: bool, undo: Callable[[], None] | None = None) -> bool:
    """Show a deed, ask, and do it (or `undo`) in our turn; False where it changes nothing."""
    for words in deed.told:
        here.say(words)
    for change in deed.changes:
        _show(here, change)
    if deed.changes:
        _ask(here, yes=yes)
        with here.turn(deed.words.split(" ")[0]):
            undo() if undo else do(here.folder, deed, here.studio.today)
        here.say(Said("deed.undone" if undo else "deed.done"))
    return bool(deed.changes)


def is_terminal() -> bool:
    """Whether somebody can be asked."""
    return sys.stdin.isatty()


def _show(here: Here, change: Change) -> None:
    for hunk in hunks_of(change):
        show(styled(hunk.place.short, bold=True))
        for sign, colour, lines in (("-", "red", hunk.gone), ("+", "green", hunk.new)):
            for line in lines[:MOST_LINES]:
                show(styled(f"  {sign} {line}", fg=colour))
            if more := lines[MOST_LINES:]:
                here.say(Said("deed.more_lines", number=len(more)))


def _ask(here: Here, *, yes: bool) -> None:
    """Whether to go on; ends the run where not."""
    if yes:
        return
    if not is_terminal():
        raise WrongWish(Said("deed.nobody"), Said("deed.say_yes"))
    said = click.prompt(here.phrases.say("deed.ask"), default="", show_default=False)
    if said.strip().lower() not in here.phrases.say("deed.yes").split():
        here.say(Said("deed.left"))
        sys.exit(1)
