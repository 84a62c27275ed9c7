"""A quotation goes out: its issue is kept for good, and both papers are written.

In: the border, a quotation and its report, or an issue as it is kept. Out: the next issue in
`studio/issued/`, the client's paper and the private sheet, each in its own folder and under the
name of the issue, so that no later one ever takes their place.
"""

import json
from pathlib import Path

from provenance.build.start_words import hold_back
from provenance.figures.quotation.quote import Quotation
from provenance.output import write_file
from provenance.papers.format import Format, format_for
from provenance.papers.quotations.paper import quotation_pdf
from provenance.public.border import Border
from provenance.public.quotation.client import ClientPaper, client_paper
from provenance.records.issued import Issue, as_kept, asked_digest, from_kept, issue_text
from provenance.reports.report import Report
from provenance.reports.writers.data import as_json
from provenance.reports.writers.paper import as_paper
from provenance.reports.writers.terminal import as_text


def issue_quotation(
    border: Border, found: Quotation, report: Report, on: Format
) -> tuple[Issue, tuple[Path, Path]]:
    """The next issue of a quotation, kept for good, and both its papers; the lock is the caller's.

    The private one is made from the report; it never lies among the client's. It is written first:
    once an issue is kept only the client's paper is made again, so that a run that is killed
    anywhere between loses neither.
    """
    assert report.filed
    hold_back(border.studio, "studio", "commissions")
    issue, paper = _issue(border, found, report)
    paths = _papers_of(border, issue)
    write_file(paths[1], as_paper(report, report.filed, border, on))
    write_file(border.house.folder / issue.file, issue_text(issue).encode())
    write_file(paths[0], quotation_pdf(border.house, paper, on))
    return issue, paths


def client_paper_again(border: Border, issue: Issue, on: Format) -> Path:
    """The client's paper of an issue as it is kept; made again from its words if it is gone, or
    beside it on other paper."""
    path, _ = _papers_of(border, issue)
    path = path.with_stem(path.stem + _other(on, format_for(border.house)))
    if not path.is_file():
        write_file(path, quotation_pdf(border.house, from_kept(ClientPaper, issue.paper), on))
    return path


def _other(on: Format, usual: Format) -> str:
    """What sets a format apart from the usual one, for a file name."""
    size = "" if on.name == usual.name else f"-{on.name.lower()}"
    ink = "black" if on.is_black else "colour"
    return size if on.is_black == usual.is_black else f"{size}-{ink}"


def _issue(border: Border, found: Quotation, report: Report) -> tuple[Issue, ClientPaper]:
    commission, phrases = found.asked.commission, border.phrases
    before = found.asked.book.issue_of(str(commission.number))
    paper = client_paper(border, found, before)
    issue = Issue(
        commission=str(commission.number),
        number=before.number + 1 if before else 1,
        on=found.sent,
        until=found.until,
        asked=asked_digest(commission),
        paper=as_kept(paper),
        data=json.loads(as_json(report.data(), phrases)),
        sheet=as_text(report, phrases),
        workings=as_text(report, phrases, explain=True),
    )
    return issue, paper


def _papers_of(border: Border, issue: Issue) -> tuple[Path, Path]:
    papers = border.house.folder / "papers"
    return (
        papers / "quotations" / f"quotation-{issue.name}.pdf",
        papers / "private" / f"workings-{issue.name}.pdf",
    )
