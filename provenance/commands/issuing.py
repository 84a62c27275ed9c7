"""`quote COMMISSION`: the quotation as it went out, or worked out and sent as the next issue.

In: where the command was called and how it is wanted. Out: what is shown and written.
"""

from collections.abc import Callable
from functools import partial

from provenance.build.issuing import client_paper_again, issue_quotation
from provenance.commands.here import Here
from provenance.commands.place import shown_path
from provenance.commands.writing import write_out
from provenance.papers.format import Format, format_for
from provenance.problems import Said
from provenance.records.issued import Issue
from provenance.reports.issued import issued_report
from provenance.reports.quote import quotation_of, quote_report


def show_quotation(
    here: Here, number: str, *, anew: bool, sheet: str | None, black: bool, **how: bool
) -> None:
    """A commission's quotation: as it went out; else worked out, and both papers written."""
    with here.turn("quote"):
        issue = here.studio.book.issue_of(str(here.studio.commission(number).number))
        on = partial(format_for, here.border.house, sheet or "", black=black)
        if issue and not anew:
            _show_again(here, issue, on, **how)
        else:
            _show_new(here, number, on, **how)


def _show_again(
    here: Here, issue: Issue, on: Callable[[], Format], *, explain: bool, is_json: bool
) -> None:
    """An issue, as it is kept."""
    write_out(here, [issued_report(here.studio, issue, explain=explain)], is_json=is_json)
    if not is_json:
        client = shown_path(client_paper_again(here.border, issue, on()))
        here.say(Said("issued.paper", client=client))


def _show_new(
    here: Here, number: str, on: Callable[[], Format], *, explain: bool, is_json: bool
) -> None:
    """The next issue; JSON makes none."""
    found = quotation_of(here.studio, number)
    report = quote_report(found)
    write_out(here, [report], is_json=is_json, explain=explain)
    if not is_json:
        issue, papers = issue_quotation(here.border, found, report, on())
        client, own = map(shown_path, papers)
        here.say(Said("workings.papers", client=client, own=own))
        here.say(Said("issued.new", number=issue.number, day=str(issue.until)))
