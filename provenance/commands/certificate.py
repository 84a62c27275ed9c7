"""`certificate`: gallery certificates, one PDF for each piece, in papers/.

In: numbers of pieces, the sheet. Out: `papers/certificate-NUMBER.pdf`, and a line in
studio/printed.yaml for every new issue. The line is written before the file: a run that is killed
between the two makes the same issue of the same day when it is run again.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

import click

from provenance.build.papers import issue_certificates
from provenance.commands.build import make_setting
from provenance.commands.progress import Progress
from provenance.commands.studio import Here, Opened, refuse, shown_path, turn, warn_of
from provenance.language.phrases import british
from provenance.language.telling import told, told_slip
from provenance.papers.certificates.certificate import (
    Certificate,
    Issue,
)
from provenance.papers.certificates.page import SHEETS, Sheet, sheet_for
from provenance.problems import Problems, Slip
from provenance.public.setting import Setting
from provenance.records.pieces import A_PHOTO, FINISHING, Piece


@dataclass(frozen=True, slots=True)
class Made:
    """A certificate that was written, and where it lies."""

    certificate: Certificate
    issue: Issue
    path: Path


@click.command("certificate")
@click.argument("numbers", nargs=-1, required=True, metavar="NUMBER...")
@click.option(
    "--sheet",
    type=click.Choice(tuple(SHEETS), case_sensitive=False),
    help="The paper; by default the studio's own.",
)
@click.option("--black", is_flag=True, help="For black ink alone: the selvedge as hatching.")
@click.pass_obj
def command(here: Here, numbers: tuple[str, ...], sheet: str | None, *, black: bool) -> None:
    """Gallery certificates, one page each, archival and accessible."""
    try:
        with turn(here, "certificate"):
            refused = _make_all(here, tuple(dict.fromkeys(numbers)), sheet or "", black=black)
    except Slip as slip:
        refuse(told_slip(slip, british()), 1)
    sys.exit(1 if refused else 0)


def _make_all(here: Here, numbers: tuple[str, ...], sheet: str, *, black: bool) -> bool:
    """Make those that can be made; whether any could not."""
    opened = here.studio
    pieces = [opened.piece(number) for number in numbers]
    warn_of(opened)
    _refuse_unknown_issues(opened)
    problems = Problems()
    setting = make_setting(opened, problems)
    on = sheet_for(setting, sheet, black=black)
    refusals = [told(problem, british()) for problem in problems]
    with Progress("certificates") as progress:
        for done, piece in enumerate(pieces, 1):
            try:
                _refuse_faulty(opened, piece)
                click.echo(_told(setting, make(setting, piece, on)))
            except Slip as slip:
                refusals.append(f"{piece.number} {piece.title}: {told_slip(slip, british())}")
            progress.tell(done, len(pieces))
    for line in refusals:
        click.echo(line, err=True)
    return bool(refusals)


def make(setting: Setting, piece: Piece, sheet: Sheet) -> Made:
    """Write the certificate of a piece, and note it when it is a new issue; or Slip."""
    _refuse_draft(piece)
    issued = next(issue_certificates(setting, [str(piece.number)], sheet, lambda *_: None))
    if issued.slip:
        raise issued.slip
    assert issued.certificate and issued.issue and issued.path
    return Made(issued.certificate, issued.issue, issued.path)


def _refuse_draft(piece: Piece) -> None:
    """A photo may come later; without size, yarns or hours there is nothing to certify."""
    if piece.can_be_costed:
        return
    lacks = [british().tell(each) for each in piece.missing if each not in (A_PHOTO, FINISHING)]
    still = f"it still wants {' and '.join(lacks)}" if lacks else "it is still being made"
    raise Slip("a draft gets no certificate", still)


def _refuse_faulty(opened: Opened, piece: Piece) -> None:
    """What is certified must have been read whole."""
    faults = [each for each in opened.mistakes if each.place.file == piece.number.place.file]
    if faults:
        said = "\n    ".join(f"{each.place}: {british().tell(each.what)}" for each in faults)
        raise Slip("its record needs mending first", said)


def _refuse_unknown_issues(opened: Opened) -> None:
    """Without the list of what was printed, issues would be counted from one again."""
    if any(each.place.file.endswith("/studio/printed.yaml") for each in opened.mistakes):
        refuse("studio/printed.yaml can't be read whole: see 'provenance check'", 1)


def _told(setting: Setting, made: Made) -> str:
    certificate, issue = made.certificate, made.issue
    how = "new" if issue.is_new else "unchanged"
    said = f"issue {issue.number} of {setting.phrases.day(issue.on)}, {how}"
    return f"{certificate.number} {certificate.title}: {said}\n    {shown_path(made.path)}"
