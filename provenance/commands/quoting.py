"""The ways of `quote`: one quotation with its papers, another at the stand, the card, agreed.

In: where the command was called and how it is wanted. Out: what is shown and written.
"""

from dataclasses import dataclass

from provenance.build.quotations import accept, write_card, write_quotation
from provenance.commands.here import Here
from provenance.commands.place import shown_path
from provenance.commands.writing import write_out
from provenance.papers.format import format_for
from provenance.problems import Said
from provenance.reports.quote import card_report, quotation_like, quotation_of, quote_report


@dataclass(frozen=True, slots=True)
class Wishes:
    """How the papers and the report are wanted."""

    sheet: str | None
    black: bool
    explain: bool
    is_json: bool


def show_quotation(here: Here, number: str, wishes: Wishes) -> None:
    """A commission's quotation; both its papers are written, but for JSON."""
    found = quotation_of(here.studio, number)
    report = quote_report(found)
    write_out(here, [report], is_json=wishes.is_json, explain=wishes.explain)
    if not wishes.is_json:
        on = format_for(here.border.house, wishes.sheet or "", black=wishes.black)
        paths = write_quotation(here.border, found, report, on)
        client, own = map(shown_path, paths)
        here.say(Said("workings.papers", client=client, own=own))


def show_like(here: Here, number: str, sizes: tuple[str, ...], wishes: Wishes) -> None:
    """A range for another of the same, in any size; nothing is written."""
    report = quote_report(quotation_like(here.studio, number, sizes))
    write_out(here, [report], is_json=wishes.is_json, explain=wishes.explain, warns=False)


def show_card(here: Here, wishes: Wishes) -> None:
    """The stand card; it is written, but for JSON."""
    card, report = card_report(here.border)
    path = None if wishes.is_json else write_card(here.border, card, black=wishes.black)
    write_out(here, [report], is_json=wishes.is_json, warns=False)
    if path:
        here.say(Said("card_report.paper", path=shown_path(path)))


def note_agreed(here: Here, number: str, size: str) -> None:
    """What was agreed, noted; the record of the piece, begun."""
    with here.turn("quote"):
        for line in accept(quotation_of(here.studio, number), size, here.phrases):
            here.say(line)
