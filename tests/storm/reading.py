"""Spoilt records read as `check` reads them, and reckoned with where nothing is wrong.

In: a mutant, a folder with the demo's records. Out: what did not hold: an exception, an exit code
that is neither 0 nor 1, a hang, words without a place, signs that steer a terminal.
"""

from __future__ import annotations

import contextlib
import os
import re
import shutil
import signal
import traceback
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from click.testing import CliRunner
from mutations import DEMO, PATHS, Mutant, around, mutant

MOST = 5.0  # seconds of work, after which we call it a hang
DAY = "1795608000"  # 2026-11-25
MARKS = ("\u200e", "\u200f", "\u061c")  # the bidi marks; overrides and isolates are found by class
STEER = ("LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI")
PLACE = re.compile(r"^\S*pieces\S*\.yaml(:\d+:\d+)?: ", re.MULTILINE)


class Hang(BaseException):
    """More work than there can be."""


@dataclass
class Found:
    """What a row of mutants came to."""

    tried: int = 0
    accepted: int = 0
    faults: list[str] = field(default_factory=list)


def read_all(numbers: range, folder: Path) -> Found:
    """Every mutant of a row, one after another, in a folder of its own."""
    found = Found()
    with _watched():
        for number in numbers:
            each = mutant(number)
            _lay_out(folder, each)
            faults, is_accepted = _faults(folder)
            found.tried += 1
            found.accepted += is_accepted
            found.faults += [f"{each}: {fault}" for fault in faults]
    shutil.rmtree(folder)
    return found


@contextlib.contextmanager
def _watched() -> Iterator[None]:
    def stop(*_: object) -> None:
        raise Hang

    kept, day = signal.signal(signal.SIGPROF, stop), os.environ.get("SOURCE_DATE_EPOCH")
    os.environ["SOURCE_DATE_EPOCH"] = DAY
    try:
        yield
    finally:
        signal.signal(signal.SIGPROF, kept)
        os.environ.pop("SOURCE_DATE_EPOCH")
        if day is not None:
            os.environ["SOURCE_DATE_EPOCH"] = day


def _lay_out(folder: Path, each: Mutant) -> None:
    """A spoilt record and those around it."""
    if not folder.exists():
        for name in ("photos", "pages"):
            folder.mkdir(exist_ok=True)
            (folder / name).symlink_to(DEMO / name)
    wanted = around(each.file)
    for path in folder.rglob("*.yaml"):
        if path.relative_to(folder).as_posix() not in wanted:
            path.unlink()
    for name in wanted:
        path, content = folder / name, each.content if name == each.file else PATHS[name]
        path.parent.mkdir(exist_ok=True)
        if not path.exists() or path.read_bytes() != content:
            path.write_bytes(content)


def _faults(folder: Path) -> tuple[list[str], bool]:
    from provenance.commands.main import main

    try:
        signal.setitimer(signal.ITIMER_PROF, MOST)
        said = CliRunner().invoke(main, ["--studio", str(folder), "check"])
        signal.setitimer(signal.ITIMER_PROF, 0)
    except Hang:
        return ["check hangs"], False
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
    faults = list(_faults_of_words(said.output))
    if said.exc_info and not isinstance(said.exception, (SystemExit, type(None))):
        faults.append("check: " + "".join(traceback.format_exception(*said.exc_info)[-3:]))
    elif said.exit_code not in (0, 1):
        faults.append(f"check ends with {said.exit_code}")
    elif said.exit_code == 1 and not PLACE.search(said.output):
        faults.append(f"no place: {said.output[:200]}")
    if said.exit_code == 0:
        faults += _reckoned(folder)
    return faults, said.exit_code == 0


def _faults_of_words(text: str) -> Iterator[str]:
    for line in text.split("\n"):
        for sign in line:
            is_control = unicodedata.category(sign) in ("Cc", "Cs")
            if is_control or sign in MARKS or unicodedata.bidirectional(sign) in STEER:
                yield f"U+{ord(sign):04X} reaches the terminal: {line[:120]!r}"
                return


def _reckoned(folder: Path) -> Iterator[str]:
    """Everything that can be worked out of records without mistakes, and told."""
    try:
        signal.setitimer(signal.ITIMER_PROF, 4 * MOST)
        for text in _told(folder):
            yield from _faults_of_words(text)
    except Hang:
        yield "figures hang"
    except Exception:
        yield traceback.format_exc()[-900:]
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)


def _told(folder: Path) -> Iterator[str]:
    """Costs, years, lineages; the words of tags, labels and certificates; quotations."""
    from provenance.build.opening import open_studio
    from provenance.commands.place import today
    from provenance.language.phrases import phrases_for_maker
    from provenance.papers.certificates.certificate import certificate_of
    from provenance.papers.tags.words import tag_words
    from provenance.problems import Slip
    from provenance.public.border import Border
    from provenance.reports.cost import cost_report, costs_report
    from provenance.reports.quote import quotation_of, quote_report
    from provenance.reports.trace import trace_reports
    from provenance.reports.writers.data import as_json
    from provenance.reports.writers.terminal import as_text
    from provenance.reports.year import year_report

    studio = open_studio(folder, today())
    border, phrases = Border(studio), phrases_for_maker(studio.book)
    reports = [year_report(studio, 2026)]
    pieces = [each for each in studio.pieces(()) if each.record.can_be_costed]
    if pieces:
        reports += [costs_report(studio, pieces), cost_report(pieces[-1])]
        reports += trace_reports(studio, str(pieces[-1].record.number))
    for number in studio.book.commissions:
        with contextlib.suppress(Slip):
            reports.append(quote_report(quotation_of(studio, number)))
    yield from (as_text(each, phrases) for each in reports)
    for each in reports:
        as_json(each.data(), phrases)
    for number in studio.book.pieces:
        facts = border.piece(number)
        tag_words(facts, border.house, None)
        with contextlib.suppress(Slip):
            certificate_of(border.house, facts)
