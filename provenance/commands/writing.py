"""Reports written where they are asked for: to the terminal, or as JSON.

In: reports. Out: printed; one line about mistakes in the records goes before them, but for JSON.
"""

from __future__ import annotations

from collections.abc import Sequence

import click

from provenance.commands.here import Here
from provenance.reports.report import Report
from provenance.reports.writers import terminal
from provenance.reports.writers.json import as_json


def write_out(
    here: Here, reports: Sequence[Report], *, is_json: bool, explain: bool = False,
    warns: bool = True,
) -> None:  # fmt: skip
    """The data of several as a list, that of one by itself."""
    if is_json:
        found = [report.data for report in reports]
        click.echo(as_json(found if len(found) > 1 else found[0], here.phrases))
        return
    if warns:
        here.warn_of_mistakes()
    terminal.write(reports, here.phrases, explain=explain)
