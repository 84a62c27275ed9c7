"""Certificates on every core: what is due, made and noted one by one.

In: the setting, numbers of pieces, the sheet. Out: each certificate written into papers/ and, when
it says something new, noted in studio/printed.yaml; or why it can't be made. The note is written
before the file: a run that is killed between the two makes the same issue of the same day again.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from provenance.output import append_text, write_file
from provenance.papers.certificates.certificate import (
    Certificate,
    Issue,
    certificate_of,
    issue_of,
    paper_name,
    printed_entry,
)
from provenance.papers.certificates.page import Sheet, certificate_pdf
from provenance.problems import Slip
from provenance.public.setting import Setting
from provenance.records.printed import printed_line

ENOUGH = 3


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
    setting: Setting, numbers: Sequence[str], sheet: Sheet, tell: Callable[[int, int], None]
) -> Iterator[Issued]:
    """Make, note and write certificates, in the order asked for; hold a lock meanwhile."""
    folder = setting.book.folder
    for done, made in enumerate(_made(setting, numbers, sheet), 1):
        tell(done, len(numbers))
        if made.certificate is None or made.issue is None:
            yield made
            continue
        if made.issue.is_new:
            line = printed_line(printed_entry(made.certificate, made.issue))
            append_text(folder / "studio" / "printed.yaml", line)
        path = folder / "papers" / paper_name(made.number)
        write_file(path, made.content)
        yield Issued(made.number, made.certificate, made.issue, b"", path)


def _made(setting: Setting, numbers: Sequence[str], sheet: Sheet) -> Iterator[Issued]:
    if len(numbers) < ENOUGH:
        _begin(setting, sheet)
        yield from map(_make, numbers)
        return
    workers = min(os.cpu_count() or 1, len(numbers))
    with ProcessPoolExecutor(workers, initializer=_begin, initargs=(setting, sheet)) as pool:
        yield from pool.map(_make, numbers)


_DESK: list[tuple[Setting, Sheet]] = []


def _begin(setting: Setting, sheet: Sheet) -> None:
    """What a worker needs for every certificate, handed over once."""
    _DESK[:] = [(setting, sheet)]


def _make(number: str) -> Issued:
    setting, sheet = _DESK[0]
    try:
        certificate = certificate_of(setting, setting.book.pieces[number])
        issue = issue_of(setting, certificate)
        content = certificate_pdf(setting, certificate, issue, sheet)
        return Issued(number, certificate, issue, content)
    except Slip as slip:
        return Issued(number, slip=slip)
