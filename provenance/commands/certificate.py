"""`certificate`: gallery certificates, one PDF for each piece, in papers/.

In: numbers of pieces, the sheet. Out: `papers/certificate-NUMBER.pdf`, and a line in
studio/printed.yaml for every new issue.
"""

from __future__ import annotations

import sys

import click

from provenance.build.certificates import Issued, issue_each
from provenance.build.refusals import refuse_unknown_issues
from provenance.commands.here import Here
from provenance.commands.place import shown_path
from provenance.commands.told import Told
from provenance.papers.format import SIZES_MM, format_for
from provenance.problems import Said, Slip


@click.command("certificate", cls=Told)
@click.argument("numbers", nargs=-1, required=True, metavar="NUMBER...")
@click.option("--sheet", type=click.Choice(tuple(SIZES_MM), case_sensitive=False))
@click.option("--black", is_flag=True)
@click.pass_obj
def command(here: Here, numbers: tuple[str, ...], sheet: str | None, *, black: bool) -> None:
    """Make certificates."""
    with here.turn("certificate"):
        border = here.border
        wanted = [each.number for each in here.studio.pieces(dict.fromkeys(numbers))]
        here.warn_of_mistakes()
        refuse_unknown_issues(here.studio)
        refused = []
        with here.progress("certificates") as progress:
            on = format_for(border.house, sheet or "", black=black)
            for issued in issue_each(border, wanted, on, progress.tell):
                if issued.slip:
                    refused.append(issued)
                else:
                    _say(here, issued)
    for issued in refused:
        _refuse(here, issued)
    sys.exit(1 if refused else 0)


def _say(here: Here, issued: Issued) -> None:
    assert issued.certificate and issued.issue and issued.path
    issue = issued.issue
    title, path = issued.certificate.title, shown_path(issued.path)
    key = "certificate.made_new" if issue.is_new else "certificate.made_same"
    here.say(Said(key, number=issued.number, title=title, issue=str(issue.number), day=issue.on,
                  path=path))  # fmt: skip


def _refuse(here: Here, issued: Issued) -> None:
    assert issued.slip
    title = str(here.studio.piece(issued.number).record.title)
    what = Said("certificate.refused", number=issued.number, title=title, what=issued.slip.what)
    here.refuse(Slip(what, issued.slip.remedy))
