"""A quotation that went out, as it went: shown again from what was kept, never reckoned anew.

In: the studio and an issue. Out: its report, the kept words under a line that says which issue it
is and how it stands today; what its piece then took is reckoned, for that is news.
"""

from collections.abc import Iterator
from functools import partial
from typing import Any

from provenance.figures.quotation.score import Outcome, outcome_of
from provenance.problems import Said, Words
from provenance.records.issued import Issue, asked_digest
from provenance.reference.currencies import minor_unit
from provenance.reports.quote_data import actual_data
from provenance.reports.quoted import outcome_table
from provenance.reports.report import Note, Part, Report
from provenance.studio import Studio


def issued_report(studio: Studio, issue: Issue, *, explain: bool) -> Report:
    """One issue: how it stands, what it said, what its piece took."""
    outcome = outcome_of(studio.book, studio.flow, studio.commission(issue.commission))
    parts = _parts(studio, issue, outcome, explain=explain)
    return Report(tuple(parts), data=partial(_data, studio, issue, outcome))


def stands(studio: Studio, issue: Issue) -> Words:
    """Until a day, lapsed, accepted for a sum, declined, finished."""
    commission = studio.commission(issue.commission)
    if commission.status not in ("asked", "quoted"):
        return Said(f"stands.{commission.status}")
    key = "lapsed" if studio.today > issue.until else "until"
    return Said(f"quotations.{key}", day=issue.until)


def has_changed(studio: Studio, issue: Issue) -> bool:
    """Whether the commission asks for something else than when the issue went out."""
    return asked_digest(studio.commission(issue.commission)) != issue.asked


def _parts(
    studio: Studio, issue: Issue, outcome: Outcome | None, *, explain: bool
) -> Iterator[Part]:
    told = Said("issued.head", number=issue.number, day=issue.on, stands=stands(studio, issue))
    yield Note(told, "bold", is_set_in=False)
    changed = has_changed(studio, issue)
    yield Note(Said("issued.changed" if changed else "issued.kept"), "dim", is_set_in=False)
    yield Note(issue.workings if explain else issue.sheet, is_apart=True, is_set_in=False)
    if outcome:
        yield outcome_table(outcome, minor_unit(studio.file.currency))


def _data(studio: Studio, issue: Issue, outcome: Outcome | None) -> dict[str, Any]:
    lapsed = studio.today > issue.until
    waits = studio.commission(issue.commission).status in ("asked", "quoted")
    return {
        **issue.data,
        "frozen": True,
        "issue": issue.number,
        "sent on": issue.on.isoformat(),
        "valid until": issue.until.isoformat(),
        **({"lapsed": True} if lapsed and waits else {}),
        **actual_data(outcome),
    }
