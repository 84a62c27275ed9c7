"""The ways of `quote`: one quotation with its papers, another at the stand, the card, agreed.

In: where the command was called and how it is wanted. Out: what is shown and written.
"""

from __future__ import annotations

from dataclasses import dataclass

import click

from provenance.build.quotations import accept, write_card, write_quotation
from provenance.commands.here import Here
from provenance.commands.place import shown_path
from provenance.problems import Said
from provenance.reports.quote import card_report, quotation_like, quotation_of, quote_report
from provenance.reports.report import Report
from provenance.reports.writers import terminal
from provenance.reports.writers.json import as_json


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
    if not wishes.is_json:
        here.warn_of_mistakes()
    if _show(here, quote_report(found), wishes):
        paths = write_quotation(here.border, found, wishes.sheet or "", black=wishes.black)
        client, own = map(shown_path, paths)
        here.say(Said("workings.papers", client=client, own=own))


def show_like(here: Here, number: str, sizes: tuple[str, ...], wishes: Wishes) -> None:
    """A range for another of the same, in any size; nothing is written."""
    _show(here, quote_report(quotation_like(here.studio, number, sizes)), wishes)


def show_card(here: Here, wishes: Wishes) -> None:
    """The stand card; it is written, but for JSON."""
    card, report = card_report(here.border)
    path = None if wishes.is_json else write_card(here.border, card, black=wishes.black)
    if _show(here, report, wishes) and path:
        here.say(Said("card_report.paper", path=shown_path(path)))


def note_agreed(here: Here, number: str, size: str) -> None:
    """What was agreed, noted; the record of the piece, begun."""
    with here.turn("quote"):
        for line in accept(quotation_of(here.studio, number), size, here.phrases):
            here.say(line)


def _show(here: Here, report: Report, wishes: Wishes) -> bool:
    """Whether it was shown in words."""
    if wishes.is_json:
        click.echo(as_json(report.data, here.phrases))
    else:
        terminal.write([report], here.phrases, explain=wishes.explain)
    return not wishes.is_json
