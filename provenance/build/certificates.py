"""Certificates: which issue, which are due, made on every core, noted and written one by one.

In: the border, numbers of pieces, the format. Out: each certificate written into papers/ and, when
it says something new, noted in studio/printed.yaml; or why it can't be made. The note is written
before the file: a run that is killed between the two makes the same issue of the same day again.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from provenance.build.filing import file_paper
from provenance.build.start_words import hold_back
from provenance.output import append_text
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
from provenance.problems import Problem, Said, Slip, chained
from provenance.public.border import Border
from provenance.public.piece import PublicPiece
from provenance.public.studio import PublicStudio
from provenance.records.pieces import A_PHOTO, FINISHING, Piece
from provenance.records.printed import Printed, printed_line
from provenance.studio import Studio
from provenance.workers import workers

ENOUGH = 3
SHOWN_AT = ("gallery", "guild", "show")


@dataclass(frozen=True, slots=True)
class Issued:
    """A certificate that was made and where it lies, or why it was not."""

    number: str
    issue: Issue | None = None
    path: Path | None = None
    slip: Slip | None = None


def issue_certificates(
    border: Border,
    numbers: Sequence[str],
    sheet: Format,
    tell: Callable[[int, int], None] = lambda done, whole: None,
    *,
    is_strict: bool = False,
) -> Iterator[Issued]:
    """Make, note and write certificates, in the order asked for; hold a lock meanwhile.

    Where a maker asks for them (`is_strict`), drafts and faulty records are refused.
    """
    if is_strict:
        hold_back(border.studio, "studio", "pieces")
    folder = border.studio.book.folder
    made = _made([_asked(border, number, sheet, is_strict=is_strict) for number in numbers])
    for done, (number, each) in enumerate(zip(numbers, made, strict=True), 1):
        tell(done, len(numbers))
        if isinstance(each, Slip):
            yield Issued(number, slip=each)
            continue
        certificate, issue, content = each
        if issue.is_new:
            append_text(folder / "studio" / "printed.yaml", noted(certificate, issue))
        path = folder / "papers" / paper_name(number)
        file_paper(path, content, border.studio.today, keeps_each=issue.is_new)
        yield Issued(number, issue, path)


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
    outlets = (studio.book.outlets.get(name) for name in piece.places)
    is_shown = any(outlet and str(outlet.kind) in SHOWN_AT for outlet in outlets)
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
    return issue_of(studio.printed(PAPER, number), certificate, studio.today).is_new


def issue_of(before: Sequence[Printed], certificate: Certificate, today: date) -> Issue:
    """The last issue when it said the same, else the next one, of today; `before` are its lines."""
    now = digest_of(certificate)
    if before and before[-1].digest == now:
        return Issue(len(before), before[-1].on, now, is_new=False)
    on = max(today, before[-1].on) if before else today  # the clock may have gone backwards
    return Issue(len(before) + 1, on, now, is_new=True)


def noted(certificate: Certificate, issue: Issue) -> str:
    """The line for printed.yaml."""
    named = {"number": certificate.number, "title": certificate.title}
    told = {"on": issue.on, "paper": PAPER, **named, "address": certificate.address or None}
    return printed_line({**told, "digest": issue.digest})


Asked = tuple[PublicStudio, PublicPiece, tuple[Printed, ...], Format]
Made = tuple[Certificate, Issue, bytes]


def _asked(border: Border, number: str, sheet: Format, *, is_strict: bool) -> Asked | Slip:
    """What a worker is handed: public facts only."""
    try:
        if is_strict:
            _refuse(border.studio, border.studio.piece(number).record)
        there = border.at_outlet_of(number)
        return there.house, there.piece(number), border.studio.printed(PAPER, number), sheet
    except Slip as slip:
        return slip


def _refuse(studio: Studio, piece: Piece) -> None:
    """What is certified must have been read whole, and be known: without size, yarns or hours
    there is nothing to certify; a photo may come later. Of a piece made before records were kept
    the maker certifies what she knows."""
    if faults := [each for each in studio.mistakes if each.place.file == piece.number.place.file]:
        said = (Said("problem.placed", place=str(f.place), what=f.what) for f in faults)
        raise Slip(Said("certificate.mend"), chained("certificate.and_fault", said))
    if piece.earlier and not piece.missing:
        return  # it says what is known, and that no more was written down
    if not piece.can_be_costed:
        lacks = tuple(words for words in piece.missing if words not in (A_PHOTO, FINISHING))
        still = Said("certificate.wants", what=lacks) if lacks else Said("certificate.being_made")
        raise Slip(Said("certificate.draft"), still)


def refuse_unknown_issues(studio: Studio) -> None:
    """Without the list of what was printed, issues would be counted from one again."""
    if any(each.place.file.endswith("/studio/printed.yaml") for each in studio.mistakes):
        raise Slip(Said("certificate.no_list"))


def _made(asked: Sequence[Asked | Slip]) -> Iterator[Made | Slip]:
    """In worker processes when there are more than a few."""
    if len(asked) < ENOUGH:
        yield from map(_make, asked)
        return
    with workers(len(asked)) as pool:
        yield from pool.map(_make, asked)


def _make(asked: Asked | Slip) -> Made | Slip:
    if isinstance(asked, Slip):
        return asked
    studio, facts, before, sheet = asked
    try:
        certificate = certificate_of(studio, facts)
        issue = issue_of(before, certificate, studio.today)
        return certificate, issue, certificate_pdf(studio, certificate, issue, sheet)
    except Slip as slip:
        return slip
