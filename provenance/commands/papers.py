"""`papers`: everything a fair, gallery, guild shop or juried show needs, in papers/OUTLET/.

In: an outlet; or `--calibration` for the printer page, `--dye-book` for the maker's dye book. Out:
sheets, their CSV files, the tags; for a gallery the certificates, for a show the pictures. Prices
on the sheets are noted in studio/printed.yaml. Everything is made before anything is written.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from provenance.commands.build import make_setting
from provenance.commands.progress import Progress
from provenance.commands.studio import Here, Opened, refuse, shown_path, turn, warn_of
from provenance.language.phrases import british
from provenance.language.telling import told, told_slip
from provenance.output import append_text, write_file
from provenance.papers.sheets.frame import PRIVATE, Sheet
from provenance.problems import Problem, Problems, Slip, did_you_mean
from provenance.public.setting import Setting

if TYPE_CHECKING:
    from provenance.papers.sheets.outlet import OutletPapers
    from provenance.papers.tags.run import TagRun

SHOWN = 8


@click.command("papers")
@click.argument("outlet", required=False)
@click.option("--calibration", is_flag=True, help="The printer page: size, shift, greys, codes.")
@click.option("--dye-book", "dye_book", is_flag=True, help="The dye book, for the maker.")
@click.pass_obj
def command(here: Here, outlet: str | None, *, calibration: bool, dye_book: bool) -> None:
    """Everything a fair, gallery, guild or show needs: OUTLET is its name in outlets.yaml."""
    if not (outlet or calibration or dye_book):
        refuse(f"Papers for which outlet? {_known(here.studio)}", 2)
    try:
        with turn(here, "papers"):
            sound = _run(here, outlet, calibration=calibration, dye_book=dye_book)
    except Slip as slip:
        refuse(told_slip(slip, british()), 1)
    sys.exit(0 if sound else 1)


def _known(opened: Opened) -> str:
    names = ", ".join(opened.book.outlets)
    return f"Known here: {names}." if names else "studio/outlets.yaml names none yet."


def _run(here: Here, outlet: str | None, *, calibration: bool, dye_book: bool) -> bool:
    """Whether all that was asked for could be made."""
    opened = here.studio
    warn_of(opened)
    setting = make_setting(opened, Problems())  # swatches that can't be read are told by `check`
    folder = here.folder / "papers"
    if calibration:
        from provenance.papers.sheets.calibration import calibration as printer_page

        _write(folder, [printer_page(setting)])
    if dye_book:
        from provenance.reports.dye_book import dye_book as dye_pages

        _write(folder / "private", [dye_pages(setting)])
    return _outlet(opened, setting, outlet) if outlet else True


def _write(folder: Path, sheets: Iterable[Sheet]) -> None:
    for sheet in sheets:
        write_file(folder.joinpath(*sheet.name.split("/")), sheet.content)
        click.echo(f"{shown_path(folder)}/{sheet.name}")


@dataclass(frozen=True, slots=True)
class _Made:
    """What will be written for an outlet, with its tags."""

    made: OutletPapers
    tags: TagRun | None
    sheets: tuple[Sheet, ...]

    @property
    def for_sale(self) -> tuple[str, ...]:
        """Numbers of the pieces with a price for buyers."""
        return _for_sale(self.made)


def _for_sale(made: OutletPapers) -> tuple[str, ...]:
    return tuple(each.facts.number for each in made.papers.pieces if each.for_sale)


def _make(setting: Setting, name: str) -> _Made:
    """Everything, before anything is written."""
    from provenance.papers.sheets.outlet import outlet_papers
    from provenance.papers.tags.run import Wishes, print_tags

    outlet = setting.book.outlets[name]
    made, run = outlet_papers(setting, outlet), None
    with Progress("tags") as progress:
        if outlet.tag_kind != "none" and _for_sale(made):
            wishes = Wishes(numbers=_for_sale(made), outlet=name)
            run = print_tags(setting, wishes, progress.tell)
    tags = (Sheet("tags.pdf", run.content, "Tags"),) if run and run.content else ()
    return _Made(made, run, (*made.sheets, *tags))


def _outlet(opened: Opened, setting: Setting, name: str) -> bool:
    """All papers of an outlet: made, written, noted, told."""
    from provenance.papers.sheets.printed import changed_prices

    _check_outlet(opened, name)
    it = _make(setting, name)
    papers, folder = it.made.papers, setting.book.folder / "papers" / name
    stale = list(_stale(folder, it.sheets))
    for sheet in it.sheets:
        write_file(folder.joinpath(*sheet.name.split("/")), sheet.content)
    _note(setting, it)
    click.echo(f"For {papers.title}, {papers.count}, in {shown_path(folder)}/")
    for line in _listed(it.sheets):
        click.echo(line)
    if stale:
        click.echo(f"  from earlier, not written now: {_few(stale)}")
    problems = list(it.made.problems)
    remarks = [*changed_prices(papers), *it.made.remarks]
    if it.tags:
        problems += it.tags.problems
        remarks += [f"no tag for {number}: {why}" for number, why in it.tags.left_out]
    if papers.outlet.kind == "gallery":
        problems += _certificates(opened, setting, it.for_sale)
    return _tell(remarks, problems)


def _note(setting: Setting, it: _Made) -> None:
    """Prices on tags and sheets, for printed.yaml."""
    from provenance.commands.tags import note
    from provenance.papers.sheets.printed import new_lines

    if it.tags:
        note(setting, it.tags)
    if lines := new_lines(it.made.papers):
        append_text(setting.book.folder / "studio" / "printed.yaml", lines)


def _check_outlet(opened: Opened, name: str) -> None:
    book = opened.book
    if name in book.outlets:
        return
    if book.is_broken(name, "outlets"):
        refuse(f"the record of {name} can't be read: see 'provenance check'", 1)
    hint = british().tell(did_you_mean(name, book.outlets))
    refuse(f"no outlet called '{name}'. {hint or _known(opened)}".strip(), 1)


def _certificates(opened: Opened, setting: Setting, numbers: tuple[str, ...]) -> Iterator[Problem]:
    """Written where certificates lie, so that each has one place."""
    from provenance.commands.certificate import make
    from provenance.papers.certificates.page import sheet_for

    for number in numbers:
        piece = opened.piece(number)
        try:
            made = make(setting, piece, sheet_for(setting))
        except Slip as slip:
            yield Problem(
                piece.number.place, f"no certificate: {british().tell(slip.what)}", slip.remedy
            )
            continue
        click.echo(f"  certificate {number}, issue {made.issue.number}: {shown_path(made.path)}")


def _stale(folder: Path, sheets: Sequence[Sheet]) -> Iterator[str]:
    """Files of an earlier run that this one does not write; the maker's to keep or throw away."""
    names = {sheet.name for sheet in sheets}
    if folder.is_dir():
        for path in sorted(folder.rglob("*")):
            name = path.relative_to(folder).as_posix()
            if path.is_file() and name not in names and not path.name.startswith("."):
                yield name


def _listed(sheets: Sequence[Sheet]) -> Iterator[str]:
    """Public first, then what is for the maker alone; a list and its CSV on one line."""
    names = [sheet.name for sheet in sheets]
    for sheet in sorted(sheets, key=lambda each: each.name.startswith(PRIVATE)):
        if sheet.name.endswith(".csv"):
            continue
        csv = sheet.name.rsplit(".", 1)[0] + ".csv"
        beside = f", {csv}" if csv in names else ""
        mark = " (for you alone)" if sheet.name.startswith(PRIVATE) else ""
        yield f"  {sheet.about}{mark}: {sheet.name}{beside}"


def _tell(remarks: list[str], problems: list[Problem]) -> bool:
    for remark in remarks:
        click.echo(f"  remark: {remark}")
    for problem in problems:
        click.echo(told(problem, british()), err=True)
    return not any(not problem.is_remark for problem in problems)


def _few(names: list[str]) -> str:
    return ", ".join(names[:SHOWN]) + (
        f" and {len(names) - SHOWN} more" if len(names) > SHOWN else ""
    )
