"""Deeds at the terminal: their lines are shown, the maker is asked, then they are done.

In: a deed, whether `--yes` was said. Out: done and noted, or nothing changed. Without a terminal
nobody can be asked.
"""

from collections.abc import Callable

from provenance.commands.consent import ask_to_write
from provenance.commands.here import Here
from provenance.commands.voice import show, styled
from provenance.deeds.deed import Change, Deed, hunks_of
from provenance.deeds.doing import do
from provenance.problems import Said

MOST_LINES = 40


def carry_out(here: Here, deed: Deed, *, yes: bool, undo: Callable[[], None] | None = None) -> bool:
    """Show a deed, ask, and do it (or `undo`) in our turn; False where it changes nothing."""
    for words in deed.told:
        here.say(words)
    for change in deed.changes:
        _show(here, change)
    if deed.changes:
        ask_to_write(here, yes=yes)
        with here.turn(deed.words.split(" ")[0]):
            undo() if undo else do(here.folder, deed, here.studio.today)
        here.say(Said("deed.undone" if undo else "deed.done"))
    return bool(deed.changes)


def _show(here: Here, change: Change) -> None:
    for hunk in hunks_of(change):
        show(styled(hunk.place.short, bold=True))
        for sign, colour, lines in (("-", "red", hunk.gone), ("+", "green", hunk.new)):
            for line in lines[:MOST_LINES]:
                show(styled(f"  {sign} {line}", fg=colour))
            if more := lines[MOST_LINES:]:
                here.say(Said("deed.more_lines", number=len(more)))
