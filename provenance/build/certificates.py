"""Certificates: which issue, which are due, made on every core, noted and written one by one.

In: the border, numbers of pieces, the format. Out: each certificate written into papers/ and, when
it says something new, noted in studio/printed.yaml; or why it can't be made. The note is written
before the file: a run that is killed between the two makes the same issue of the same day again.
"""

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from provenance.build.refusals import refuse_draft, refuse_faulty
from provenance.output import append_text, write_file
from provenance.papers.certificates.certificate import (
    PAPER,
    Certificate,
    Issue,
    certificate_of,
    digest_of,
    paper_name,
)
from provenance.papers.certificates.page import certificate_pdf
from provenance.papers.format import Format
from provenance.problems import Problem, Said, Slip
from provenance.public.border import Border
from provenance.public.piece import PublicPiece
from provenance.public.studio import PublicStudio
from provenance.records.pieces import Piece
from provenance.records.printed import Printed, printed_line
from provenance.studio import Studio

ENOUGH = 3
SHOWN_AT = ("gallery", "guild", "show")


@dataclass(frozen=True, slots=True)
class Issued:
    """A certificate that was made, or why it was not."""

    number: str
    certificate: Certificate | None = None
    issue: Issue | None = None
    content: bytes = b""
    path: Path | None = None
    slip: Slip | None = None


def issue_certificates(
    border: Border, numbers: Sequence[str], sheet: Format, tell: Callable[[int, int], None]
) -> Iterator[Issued]:
    """Make, note and write certificates, in the order asked for; hold a lock meanwhile."""
    folder = border.studio.book.folder
    for done, made in enumerate(_made(border, numbers, sheet), 1):
        tell(done, len(numbers))
        if made.certificate is None or made.issue is None:
            yield made
            continue
        if made.issue.is_new:
            line = noted(made.certificate, made.issue)
            append_text(folder / "studio" / "printed.yaml", line)
        path = folder / "papers" / paper_name(made.number)
        write_file(path, made.content)
        yield Issued(made.number, made.certificate, made.issue, b"", path)


def issue_each(
    border: Border, numbers: Sequence[str], sheet: Format, tell: Callable[[int, int], None]
) -> Iterator[Issued]:
    """One after another, for a maker who asked for them; drafts and faulty records are refused."""
    for done, number in enumerate(numbers, 1):
        piece = border.studio.piece(number).record
        try:
            refuse_faulty(border.studio, piece)
            refuse_draft(piece)
        except Slip as slip:
            yield Issued(number, slip=slip)
        else:
            yield from issue_certificates(border, [number], sheet, lambda *_: None)
        tell(done, len(numbers))


def not_issued(studio: Studio, number: str, slip: Slip) -> Problem:
    """A certificate that can't be made, told where the record of its piece begins."""
    place = studio.piece(number).record.number.place
    return Problem(place, Said("build.no_certificate", what=slip.what), slip.remedy)


def certificates_due(border: Border) -> tuple[str, ...]:
    """Numbers of finished pieces, sold or at a gallery, guild or show, whose certificate is
    missing or no longer says what the record says."""
    studio = border.studio
    wanted = (piece for piece in studio.book.pieces.values() if _wants_one(studio, piece))
    return tuple(str(piece.number) for piece in wanted if _is_due(border, str(piece.number)))


def _wants_one(studio: Studio, piece: Piece) -> bool:
    outlet = studio.book.outlets.get(piece.at) if piece.at else None
    is_shown = outlet is not None and str(outlet.kind) in SHOWN_AT
    return piece.can_be_costed and (piece.state == "sold" or is_shown) and not piece.withdrawn


def _is_due(border: Border, number: str) -> bool:
    """A piece whose photo cannot be read is due: making its certificate says why."""
    studio = border.studio
    if not (studio.book.folder / "papers" / paper_name(number)).is_file():
        return True
    try:
        there = border.at_outlet_of(number)
        certificate = certificate_of(there.house, there.piece(number))
    except Slip:
        return True
    return issue_of(border, certificate).is_new


def issue_of(border: Border, certificate: Certificate) -> Issue:
    """The last issue when it said the same, else the next one, of today."""
    before = border.studio.printed(PAPER, certificate.number)
    return _next_issue(before, certificate, border.studio.today)


def _next_issue(before: Sequence[Printed], certificate: Certificate, today: date) -> Issue:
    now = digest_of(certificate)
    if before and before[-1].digest == now:
        return Issue(len(before), before[-1].on, now, is_new=False)
    return Issue(len(before) + 1, today, now, is_new=True)


def noted(certificate: Certificate, issue: Issue) -> str:
    """The line for printed.yaml."""
    return printed_line(
        {
            "on": issue.on,
            "paper": PAPER,
            "number": certificate.number,
            "title": certificate.title,
            "address": certificate.address or None,
            "digest": issue.digest,
        }
    )


Asked = tuple[PublicStudio, PublicPiece, tuple[Printed, ...], Format]


def _made(border: Border, numbers: Sequence[str], sheet: Format) -> Iterator[Issued]:
    """In worker processes when there are more than a few; workers are handed public facts only."""
    found = [_asked(border, number, sheet) for number in numbers]
    able = [each for each in found if not isinstance(each, Issued)]
    made = iter(_pdfs(able))
    for each in found:
        yield each if isinstance(each, Issued) else next(made)


def _asked(border: Border, number: str, sheet: Format) -> Asked | Issued:
    try:
        there = border.at_outlet_of(number)
        return there.house, there.piece(number), border.studio.printed(PAPER, number), sheet
    except Slip as slip:
        return Issued(number, slip=slip)


def _pdfs(asked: Sequence[Asked]) -> Iterator[Issued]:
    if len(asked) < ENOUGH:
        yield from map(_make, asked)
        return
    with ProcessPoolExecutor(min(os.cpu_count() or 1, len(asked))) as pool:
        yield from pool.map(_make, asked)


def _make(asked: Asked) -> Issued:
    studio, facts, before, sheet = asked
    try:
        certificate = certificate_of(studio, facts)
        issue = _next_issue(before, certificate, studio.today)
        content = certificate_pdf(studio, certificate, issue, sheet)
        return Issued(facts.number, certificate, issue, content)
    except Slip as slip:
        return Issued(facts.number, slip=slip)
