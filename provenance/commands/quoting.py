"""The ways of `quote` but for a quotation itself: another at the stand, the card, agreed.

In: where the command was called and how it is wanted. Out: what is shown and written.
"""

from typing import Any

from provenance.build.quotations import write_card
from provenance.commands.asking import carry_out
from provenance.commands.here import Here
from provenance.commands.place import shown_path
from provenance.commands.writing import write_out
from provenance.deeds.accepting import accept
from provenance.problems import Said
from provenance.reports.quote import card_report, quotation_like, quotation_of, quote_report


def show_like(
    here: Here, number: str, sizes: tuple[str, ...], *, explain: bool, is_json: bool, **_: Any
) -> None:
    """A range for another of the same, in any size; nothing is written."""
    report = quote_report(quotation_like(here.studio, number, sizes))
    write_out(here, [report], is_json=is_json, explain=explain, warns=False)


def show_card(here: Here, *, black: bool, is_json: bool, **_: Any) -> None:
    """The stand card; it is written, but for JSON."""
    card, report = card_report(here.border)
    path = None if is_json else write_card(here.border, card, black=black)
    write_out(here, [report], is_json=is_json, warns=False)
    if path:
        here.say(Said("card_report.paper", path=shown_path(path)))


def note_agreed(here: Here, number: str, size: str, *, yes: bool) -> None:
    """What was agreed, noted; the record of the piece, begun."""
    deed = accept(quotation_of(here.studio, number), size, here.phrases)
    carry_out(here, deed, yes=yes)
