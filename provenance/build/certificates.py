"""Certificates: which issue, which are due, made on every core, noted and written one by one.

In: the border, numbers of pieces, the format. Out: each certificate written into papers/ and, when
it says something new, noted in studio/printed.yaml; or why it can't be made. The note is written
before the file, and a sign before the note: a run that is killed between the two makes the same
issue of the same day again.
"""

from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import Executor, Future
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from itertools import islice
from pathlib import Path

from provenance.build.aside import Aside, Made
from provenance.build.digests import PhotoDigests
from provenance.build.doubts import refuse_doubt
from provenance.build.filing import announce, file_paper, is_announced, keep_paper
from provenance.build.ledger import catch_up, note_printed
from provenance.build.sealing import Sealing, is_void
from provenance.build.start_words import hold_back
from provenance.papers.certificates.certificate import (
    PAPER,
    Certificate,
    Issue,
    certificate_of,
    digest_of,
    paper_name,
)
from provenance.papers.certificates.page import Seal, certificate_pdf
from provenance.papers.format import Format
from provenance.problems import Problem, Said, Slip, chained
from provenance.public.border import Border
from provenance.public.piece import PublicPiece
from provenance.public.studio import PublicStudio
from provenance.records.checks_names import photo_path
from provenance.records.pieces import A_PHOTO, FINISHING, Piece
from provenance.records.printed import Printed, printed_line
from provenance.studio import Studio
from provenance.workers import Tell, workers

ENOUGH = 3
AHEAD = 64  # made before the first is written: no more are held in memory
SHOWN_AT = ("gallery", "guild", "show")


Asked = tuple[PublicStudio, PublicPiece, tuple[Printed, ...], Format, Issue | None, Seal | None]


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
    tell: Tell = lambda done, whole: None,
    *,
    sealing: Sealing | None = None,
    is_strict: bool = False,
) -> Iterator[Issued]:
    """Make, note and write certificates, in the order asked for; hold a lock meanwhile.

    Where a maker asks for them (`is_strict`), drafts and faulty records are refused.
    """
    if is_strict:
        refuse_doubt(border.studio.book)
        hold_back(border.studio, "studio", "pieces")
    if len(numbers) < ENOUGH:
        asking = Asking(border, sheet, sealing, is_strict)
        yield from _issued(asking, numbers, map(_make, map(asking.of, numbers)), tell)
        return
    with workers(len(numbers)) as pool:
        asking = Asking(border, sheet, sealing, is_strict)
        yield from Begun(asking, numbers, pool).issue(tell)


class Begun:
    """Certificates that workers make while something else is done, to be issued then."""

    def __init__(self, asking: "Asking", numbers: Sequence[str], pool: Executor) -> None:
        self._asking, self._numbers, self._pool = asking, numbers, pool
        self._waiting = map(asking.of, numbers)
        self._futures = deque(map(self._begun, islice(self._waiting, AHEAD)))
        self._aside: Aside | None = None

    def refused(self) -> frozenset[str]:
        """Those that can't be made; known once all others are, which are put aside."""
        self._aside = Aside(self._made())
        pairs = zip(self._numbers, self._aside.slips, strict=True)
        return frozenset(number for number, is_slip in pairs if is_slip)

    def issue(self, tell: Tell) -> Iterator[Issued]:
        """Note and write them, in the order asked for; hold a lock meanwhile."""
        return _issued(self._asking, self._numbers, self._aside or self._made(), tell)

    def _begun(self, asked: Asked | Slip) -> Future[Made | Slip]:
        return self._pool.submit(_make, asked)

    def _made(self) -> Iterator[Made | Slip]:
        while self._futures:
            yield self._futures.popleft().result()
            self._futures.extend(map(self._begun, islice(self._waiting, 1)))


def _issued(
    asking: "Asking",
    numbers: Sequence[str],
    made: Iterable[Made | Slip],
    tell: Tell,
) -> Iterator[Issued]:
    """Each certificate noted and written, or why it can't be."""
    folder, today = asking.border.studio.book.folder, asking.border.studio.today
    catch_up(folder, today)
    for done, (number, each) in enumerate(zip(numbers, made, strict=True), 1):
        tell(done, len(numbers))
        if isinstance(each, Slip):
            yield Issued(number, slip=each)
            continue
        certificate, issue, content = each
        path = folder / "papers" / paper_name(number)
        if issue.is_new:  # the one before is kept first: after the note this issue is no new one
            keep_paper(path, content, today, keeps_each=True)
            announce(path)
            if asking.sealing:
                asking.sealing.keep(number, issue)
            note_printed(folder, noted(certificate, issue), today)
        file_paper(path, content, today, keeps_each=issue.is_new)
        yield Issued(number, issue, path)


def seen_asked(border: Border, number: str) -> "Asked":
    """What the certificate of a piece would be made from now. Slip for one that can't be; nothing
    is noted or signed."""
    house = border.at_outlet_of(number).house
    asked = Asking(border, Format(house.sheet, house.is_black)).of(number)
    if isinstance(asked, Slip):
        raise asked
    return asked


def certificate_seen(asked: "Asked") -> bytes:
    """The PDF of that certificate, for the maker's eyes. Slip for one that can't be made."""
    made = _make(asked)
    if isinstance(made, Slip):
        raise made
    return made[2]


def not_issued(studio: Studio, number: str, slip: Slip) -> Problem:
    """A certificate that can't be made, told where the record of its piece begins."""
    place = studio.piece(number).record.number.place
    return Problem(place, Said("build.no_certificate", what=slip.what), slip.remedy)


def certificates_due(border: Border) -> tuple[str, ...]:
    """Numbers of finished pieces, sold or at a gallery, guild or show, whose certificate is
    missing or no longer says what the record says."""
    studio, photos = border.studio, PhotoDigests(border.studio.book.folder)
    wanted = (piece for piece in studio.book.pieces.values() if _wants_one(studio, piece))
    due = tuple(str(piece.number) for piece in wanted if _is_due(border, piece, photos))
    photos.keep()
    return due


def _wants_one(studio: Studio, piece: Piece) -> bool:
    outlets = (studio.book.outlets.get(name) for name in piece.places)
    is_shown = any(outlet and str(outlet.kind) in SHOWN_AT for outlet in outlets)
    return piece.can_be_costed and (piece.state == "sold" or is_shown) and not piece.withdrawn


def _is_due(border: Border, piece: Piece, photos: PhotoDigests) -> bool:
    """A piece whose photo cannot be read is due: making its certificate says why."""
    studio, number = border.studio, str(piece.number)
    path = studio.book.folder / "papers" / paper_name(number)
    if not path.is_file() or is_announced(path):
        return True
    try:
        now = _now(border, number, photos)
    except (Slip, OSError):
        return True
    before = studio.printed(PAPER, number)
    return not before or before[-1].digest != now or is_void(border, number)


def _now(border: Border, number: str, photos: PhotoDigests) -> str:
    """The digest of what a certificate would say, worked out or kept from before."""
    there, piece = border.at_outlet_of(number), border.studio.piece(number).record
    held = " ".join(photos.held(photo_path(str(each.file))) for each in piece.photos)
    return there.once("certificate", number, lambda: _said(there, number), held)


def _said(border: Border, number: str) -> str:
    """The digest of what a certificate would say."""
    return digest_of(certificate_of(border.house, border.piece(number)))


def issues_of(border: Border, numbers: Sequence[str]) -> dict[str, Issue]:
    """The issue that each certificate will be; none for one that can't be made."""
    found = {}
    for number in numbers:
        with suppress(Slip, OSError):
            found[number] = _issue(border, number)
    return found


def _issue(border: Border, number: str) -> Issue:
    now = _now(border, number, PhotoDigests(border.studio.book.folder))
    before, today = border.studio.printed(PAPER, number), border.studio.today
    return next_issue(before, now, today, anew=is_void(border, number))


def issue_of(before: Sequence[Printed], certificate: Certificate, today: date) -> Issue:
    """The last issue when it said the same, else the next one, of today; `before` are its lines."""
    return next_issue(before, digest_of(certificate), today)


def next_issue(before: Sequence[Printed], now: str, today: date, *, anew: bool = False) -> Issue:
    """The same, by the digest of what the certificate says now; the next one where it is to be
    issued `anew`."""
    count = len(before)
    last = max((int(line.issue) for line in before if line.issue), default=0)
    if before and before[-1].digest == now and not anew:
        number = int(before[-1].issue or max(count, last))
        return Issue(number, before[-1].on or today, now, is_new=False)
    on = max(today, before[-1].on or today) if before else today  # a clock may go backwards
    return Issue(max(count, last) + 1, on, now, is_new=True)


def noted(certificate: Certificate, issue: Issue) -> str:
    """The line for printed.yaml."""
    named = {"number": certificate.number, "title": certificate.title}
    told = {"on": issue.on, "paper": PAPER, **named, "address": certificate.address or None}
    return printed_line({**told, "digest": issue.digest, "issue": issue.number})


@dataclass(frozen=True, slots=True)
class Asking:
    """What certificates are asked for with: the sheet, the statements of a studio that has a key,
    whether drafts and faulty records are refused."""

    border: Border
    sheet: Format
    sealing: Sealing | None = None
    is_strict: bool = False

    def of(self, number: str) -> Asked | Slip:
        """What a worker is handed: public facts only, and what travels in the paper."""
        studio = self.border.studio
        try:
            if self.is_strict:
                _refuse(studio, studio.piece(number).record)
            there, before = self.border.at_outlet_of(number), studio.printed(PAPER, number)
            issue = _issue(self.border, number) if self.sealing else None
            seal = self.sealing.seal_of(number, issue) if self.sealing and issue else None
            return there.house, there.piece(number), before, self.sheet, issue, seal
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


def _make(asked: Asked | Slip) -> Made | Slip:
    if isinstance(asked, Slip):
        return asked
    studio, facts, before, sheet, issue, seal = asked
    try:
        certificate = certificate_of(studio, facts)
        issue = issue or issue_of(before, certificate, studio.today)
        carried = noted(certificate, issue)
        content = certificate_pdf(studio, certificate, issue, sheet, seal, noted=carried)
        return certificate, issue, content
    except Slip as slip:
        return slip
