"""`build`: the public site, and all hang-tags and certificates that are due."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from provenance.build.pictures import swatch_colours
from provenance.build.site import BuiltSite, Change, build_site
from provenance.commands.progress import Progress
from provenance.commands.studio import Here, Opened, refuse
from provenance.documents.setting import Setting, setting_for
from provenance.lock import lock
from provenance.problems import Place, Problem, Problems, Slip
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
    opened = here.studio
    stopping = [each for each in opened.mistakes if not is_about_a_photo(each)]
    if stopping:
        for problem in stopping:
            click.echo(str(problem), err=True)
        refuse("\nNothing was built: the records above need mending first.", 1)
    folder = (target or here.folder.parent / "site").resolve()
    try:
        built, problems = _build(opened, folder, only_tell=only_tell)
    except Slip as slip:
        refuse(f"Nothing was built: {slip.what}\n    {slip.remedy}", 1)
    for line in told(built):
        click.echo(line)
    for problem in problems:
        click.echo(str(problem), err=True)
    sys.exit(1 if problems else 0)


def _build(
    opened: Opened, folder: Path, *, only_tell: bool
) -> tuple[BuiltSite, tuple[Problem, ...]]:
    problems = Problems()
    words = read_pages(opened.book.folder, problems)
    setting = make_setting(opened, problems)
    with lock(folder.parent, "build"), Progress("pictures") as progress:
        built = build_site(setting, words, folder, progress.tell, only_tell=only_tell)
    problems.extend(built.problems)
    problems.extend(each for each in opened.mistakes if is_about_a_photo(each))
    return built, tuple(problems)


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


def is_about_a_photo(problem: Problem) -> bool:
    """Whether a problem concerns a photo: the rest builds without it."""
    return "photo" in problem.what


def told(built: BuiltSite) -> list[str]:
    """What the build did, in lines."""
    lines = [f"What the public will see differently: {_count(built.changes)}"]
    for change in built.changes[:40]:
        lines.append(f"  {change.page} {change.how}")
        lines += [f"    {word}: {old} -> {new}" for word, old, new in change.fields]
    if len(built.changes) > 40:
        lines.append(f"  and {len(built.changes) - 40} more")
    lines.append("")
    lines.append(f"{built.pieces} pieces on {built.pages} pages: {built.folder}/index.html")
    return lines


def _count(changes: tuple[Change, ...]) -> str:
    if not changes:
        return "nothing."
    return f"{len(changes)} {'page' if len(changes) == 1 else 'pages'}."
