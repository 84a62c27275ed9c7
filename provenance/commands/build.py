"""`build`: the public site, and all hang-tags and certificates that are due."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import click

from provenance.build.papers import issue_certificates
from provenance.build.pictures import swatch_colours
from provenance.build.site import BuiltSite, Change, build_site
from provenance.commands.check import counted
from provenance.commands.progress import Progress
from provenance.commands.studio import Here, Opened, refuse, turn
from provenance.language.phrases import british
from provenance.language.telling import told as told_problem
from provenance.language.telling import told_slip
from provenance.output import write_file
from provenance.papers.certificates.certificate import certificates_due
from provenance.papers.certificates.page import sheet_for
from provenance.papers.tags.run import Wishes, print_tags
from provenance.problems import Place, Problems, Slip
from provenance.public.setting import Setting, setting_for
from provenance.records.book import Book
from provenance.records.pages import read_pages


@click.command("build")
@click.option(
    "--to", "target", type=click.Path(path_type=Path), help="Where; by default site/ beside them."
)
@click.option("--only-tell", is_flag=True, help="Tell what the public would see; change nothing.")
@click.pass_obj
def command(here: Here, target: Path | None, *, only_tell: bool) -> None:
    """Build the public site, and the tags and certificates that are due."""
    folder = (target or here.folder.parent / "site").resolve()
    _refuse_target(folder, here.folder.resolve())
    problems = Problems()
    try:
        with turn(here, "build"):
            lines = _build(here.studio, folder, problems, only_tell=only_tell)
    except Slip as slip:
        refuse(f"Nothing was built: {told_slip(slip, british())}", 1)
    for line in lines:
        click.echo(line)
    for problem in problems:
        click.echo(told_problem(problem, british()), err=True)
    sys.exit(1 if list(problems) else 0)


def _build(opened: Opened, folder: Path, problems: Problems, *, only_tell: bool) -> list[str]:
    """Site, then tags and certificates that are due; what was done, in lines."""
    _refuse_mistakes(opened)
    words = read_pages(opened.book.folder, problems)
    setting = make_setting(opened, problems)
    with Progress("pictures") as progress:
        built = build_site(setting, words, folder, progress.tell, only_tell=only_tell)
    known = opened.of_photos & set(opened.mistakes)
    problems.extend(known)
    told_of = {each.place for each in known}
    problems.extend(each for each in built.problems if each.place not in told_of)
    lines = told(built, only_tell=only_tell)
    return lines if only_tell else lines + _papers(setting, problems)


def _refuse_target(folder: Path, records: Path) -> None:
    """The site gets a folder of its own: never a file, never the records or what holds them."""
    if folder.exists() and not folder.is_dir():
        refuse(f"{folder} is a file: the site needs a folder of its own", 2)
    if folder.is_relative_to(records) or records.is_relative_to(folder):
        refuse(f"{folder} holds the records or lies in them: name a folder beside them", 2)


def _refuse_mistakes(opened: Opened) -> None:
    """A record that can't be read would vanish from the site: it must be mended first."""
    stopping = [each for each in opened.mistakes if each not in opened.of_photos]
    for problem in stopping:
        click.echo(told_problem(problem, british()), err=True)
    if stopping:
        refuse("\nNothing was built: the records above need mending first.", 1)


def _papers(setting: Setting, problems: Problems) -> list[str]:
    """Tags that are due on one file, made anew until `tags` prints them; certificates, issued."""
    try:
        return _tags_due(setting, problems) + _certificates_due(setting, problems)
    except Slip as slip:  # the site stands; records on a read-only disk have no room for papers
        problems.add(Place(str(setting.book.folder / "papers")), slip.what, slip.remedy)
        return ["The papers could not be written; the site is in its place."]


def _tags_due(setting: Setting, problems: Problems) -> list[str]:
    with Progress("hang-tags") as progress:
        run = print_tags(setting, Wishes(changed=True), progress.tell)
    problems.extend(run.problems)
    if not run.content:
        return []
    path = setting.book.folder / "papers" / "tags-due.pdf"
    write_file(path, run.content)
    return [
        f"{counted(len(run.tags), 'hang-tag')} due: {path}",
        "    'provenance tags --changed' prints them and notes that they are printed",
    ]


def _certificates_due(setting: Setting, problems: Problems) -> list[str]:
    due, made = certificates_due(setting), []
    with Progress("certificates") as progress:
        for issued in issue_certificates(setting, due, sheet_for(setting), progress.tell):
            if issued.slip:
                place = setting.book.pieces[issued.number].number.place
                problems.add(
                    place, f"no certificate: {british().tell(issued.slip.what)}", issued.slip.remedy
                )
            else:
                made.append(issued.number)
    if not made:
        return []
    folder = setting.book.folder / "papers"
    return [f"{counted(len(made), 'certificate')} made in {folder}{os.sep}: {', '.join(made)}"]


def make_setting(opened: Opened, problems: Problems) -> Setting:
    """The setting of documents, with swatch colours measured; bad swatches are problems."""
    names = swatch_names(opened.book)
    colours, slips = swatch_colours(opened.book.folder, list(names))
    for name, slip in slips.items():
        problems.add(names[name], slip.what, slip.remedy)
    return setting_for(opened.book, opened.flow, opened.today, colours)


def swatch_names(book: Book) -> dict[str, Place]:
    """Every swatch photo named in the dye book, with its place."""
    found: dict[str, Place] = {}
    for bath in book.baths.values():
        for swatch in (bath.swatch, *(entry.swatch for entry in bath.dyed)):
            if swatch:
                found[str(swatch)] = swatch.place
    return found


def told(built: BuiltSite, *, only_tell: bool) -> list[str]:
    """What the build did, in lines."""
    sees = "would" if only_tell else "will"
    lines = [f"What the public {sees} see differently: {_count(built.changes)}"]
    for change in built.changes[:40]:
        lines.append(f"  {change.page} {change.how}")
        lines += [f"    {word}: {old} -> {new}" for word, old, new in change.fields]
    if len(built.changes) > 40:
        lines.append(f"  and {len(built.changes) - 40} more")
    lines.append("")
    if only_tell:
        return [*lines, "Nothing was changed."]
    index = built.folder / "index.html"
    return [*lines, f"{counted(built.pieces, 'piece')} on {built.pages} pages: {index}"]


def _count(changes: tuple[Change, ...]) -> str:
    if not changes:
        return "nothing."
    return f"{len(changes)} {'page' if len(changes) == 1 else 'pages'}."
