"""`tags`: hang-tags on sheets, in papers/.

In: numbers or an outlet, what the sheets are to be like. Out: `papers/tags.pdf` (for an outlet
`papers/tags-OUTLET.pdf`), and a line in studio/printed.yaml for every tag that says something new.
The file is written first: a run that is killed between the two leaves the tags due.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import click

from provenance.commands.build import make_setting
from provenance.commands.check import counted
from provenance.commands.progress import Progress
from provenance.commands.studio import Here, Opened, refuse, shown_path, turn, warn_of
from provenance.language.phrases import british
from provenance.language.telling import told as told_problem
from provenance.language.telling import told_in_line, told_slip
from provenance.output import append_text, write_file
from provenance.papers.tags.due import last_printed, why_due
from provenance.papers.tags.run import TagRun, Wishes, print_tags
from provenance.problems import Problems, Slip, did_you_mean
from provenance.public.setting import Setting
from provenance.records.printing import sheet_of, shift_of, size_of

SHOWN = 8


def _readable(read: Callable[[str], object]) -> Callable[[Any, Any, str | None], str | None]:
    """Wrong measures are wrong usage, and are told before anything is read."""

    def check(_context: Any, _option: Any, text: str | None) -> str | None:
        if text is not None:
            try:
                read(text)
            except Slip as slip:
                raise click.BadParameter(told_in_line(slip, british(), ": ")) from slip
        return text

    return check


@click.command("tags")
@click.argument("numbers", nargs=-1, metavar="[NUMBER...]")
@click.option("--for", "outlet", metavar="OUTLET", help="All pieces there, on its kind of tag.")
@click.option("--changed", is_flag=True, help="Only those that differ from what was printed.")
@click.option(
    "--from-cell", type=click.IntRange(1), default=1, metavar="N", help="Begin a part-used sheet."
)
@click.option("--size", callback=_readable(size_of), help="Of a tag: '55 x 90 mm', '2 x 3.5 in'.")
@click.option("--sheet", callback=_readable(sheet_of), help="A4, Letter, A3, '210 x 297 mm' ...")
@click.option(
    "--shift", callback=_readable(shift_of), help="For this printer: '1.5 mm right, 1 mm up'."
)
@click.option("--black/--colour", default=None, help="Black ink only: the selvedge is hatched.")
@click.option("--stub/--no-stub", default=None, help="With a stub to tear off: number and price.")
@click.pass_obj
def command(here: Here, /, numbers: tuple[str, ...], **wished: Any) -> None:
    """Hang-tags on sheets to cut: of all pieces for sale, of some, or for an outlet."""
    wishes = Wishes(numbers=numbers, **wished)
    try:
        with turn(here, "tags"):
            run = _print(here, wishes)
    except Slip as slip:
        refuse(told_slip(slip, british()), 2 if type(slip).__name__ == "NoSuchCell" else 1)
    sys.exit(1 if run.problems else 0)


def _print(here: Here, wishes: Wishes) -> TagRun:
    opened = here.studio
    _check(opened, wishes)
    warn_of(opened)
    setting = make_setting(opened, Problems())  # swatches that can't be read are told by `check`
    with Progress("tags") as progress:
        run = print_tags(setting, wishes, progress.tell)
    path = here.folder / "papers" / (f"tags-{wishes.outlet}.pdf" if wishes.outlet else "tags.pdf")
    if run.content:
        write_file(path, run.content)
        note(setting, run)
    for line in told(setting, run, path):
        click.echo(line)
    for problem in run.problems:
        click.echo(told_problem(problem, british()), err=True)
    return run


def _check(opened: Opened, wishes: Wishes) -> None:
    for number in wishes.numbers:
        opened.piece(number)
    outlets = opened.book.outlets
    if wishes.outlet is not None and wishes.outlet not in outlets:
        if opened.book.is_broken(wishes.outlet, "outlets"):
            refuse(f"the record of {wishes.outlet} can't be read: see 'provenance check'", 1)
        hint = british().tell(did_you_mean(wishes.outlet, outlets))
        refuse(f"no outlet called '{wishes.outlet}'. {hint}".strip(), 1)


def note(setting: Setting, run: TagRun) -> None:
    """Keep what was printed; a tag that says what the last one said needs no new line."""
    last = last_printed(setting.book)
    fresh = [each for each in run.notes if why_due(each, last.get(each.number))]
    if fresh:
        lines = "".join(each.line(setting.today) for each in fresh)
        append_text(setting.book.folder / "studio" / "printed.yaml", lines)


def told(setting: Setting, run: TagRun, path: Path) -> Iterator[str]:
    """Where the sheets lie, and what is not on them, with the reason."""
    if run.content:
        sheets = counted(run.sheets, "sheet")
        yield f"{counted(len(run.tags), 'tag')} on {sheets}: {shown_path(path)}"
        yield "    print at 100 %, and hold a rule to the 100 mm in the margin before you cut"
    else:
        yield "No tags to print."
    for why, numbers in _by_reason(run.left_out).items():
        yield f"  left out, {why}: {_few(numbers)}"
    for why, numbers in _by_reason(run.left_off).items():
        yield f"  no room for {why}: {_few(numbers)}"
    if any("studio" in tag.words.text for tag in run.tags) and not setting.book.studio.site:
        yield "  no code on the tags: the studio file has no 'site'"


def _few(numbers: list[str]) -> str:
    """All of a few numbers, the first of many."""
    if len(numbers) <= SHOWN:
        return ", ".join(numbers)
    return f"{', '.join(numbers[: SHOWN - 2])} and {len(numbers) - SHOWN + 2} more"


def _by_reason(said: tuple[tuple[str, str], ...]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for number, why in said:
        found.setdefault(why, []).append(number)
    return found
