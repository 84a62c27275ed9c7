"""The whole build: the site, then the tags and certificates that are due.

In: the border, the target folder, ways to tell how far the work is. Out: what was made and what
could not be, and lines that tell it. The site stands even where the papers find no room.
"""

import os
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager
from dataclasses import replace
from pathlib import Path
from typing import Protocol

from provenance.build.certificates import certificates_due, issue_certificates, not_issued
from provenance.build.due_file import file_due_tags
from provenance.build.facts import Facts
from provenance.build.last_good import is_kept
from provenance.build.memo import Memo
from provenance.build.opening import swatch_problems
from provenance.build.site import Built, Change, build_site
from provenance.build.start_words import kept_from_others
from provenance.build.taking import Allow
from provenance.build.witnesses import tell_site
from provenance.papers.format import format_for
from provenance.problems import Place, Problem, Problems, Said, Slip, Words, WrongWish
from provenance.public.border import Border
from provenance.studio import Studio

SHOWN = 40


class Telling(Protocol):
    """Something that is told how far the work is."""

    def tell(self, done: int, whole: int) -> None: ...


Progress = Callable[[str], AbstractContextManager[Telling]]


def refuse_target(folder: Path, records: Path) -> None:
    """The site gets a folder of its own: never a file, never the records or what holds them."""
    if folder.exists() and not folder.is_dir():
        raise WrongWish(Said("build.is_file", folder=str(folder)))
    if folder.is_relative_to(records) or records.is_relative_to(folder):
        raise WrongWish(Said("build.holds_records", folder=str(folder)))


def stopping(studio: Studio) -> tuple[Problem, ...]:
    """What stops a build: a record that can't be read would vanish from the site, and what the
    start files say is not the maker's own."""
    mistakes = tuple(each for each in studio.mistakes if each not in studio.of_photos)
    return (*mistakes, *kept_from_others(studio, "studio", "pages", "pieces"))


def build_all(border: Border, folder: Path, progress: Progress, *, allow: Allow | None) -> Built:
    """Site, then tags and certificates that are due. Slip when nothing could be built.

    `allow` is asked before the public loses anything; without it the changes are only told.
    """
    only_tell = allow is None
    with Memo(border.house.folder) as memo:
        border.keeping = Facts(memo)
        problems = Problems()
        site = _site(border, memo, folder, progress, problems, allow)
        lines = list(_site_lines(site, only_tell=only_tell))
        if not only_tell:
            lines += _papers(border, memo, progress, problems)
            tell_site(site.folder, border.studio.book)
        memo.drop_others(border.studio.book.pieces)
    return replace(site, problems=tuple(problems), lines=tuple(lines))


def _site(
    border: Border,
    memo: Memo,
    folder: Path,
    progress: Progress,
    problems: Problems,
    allow: Allow | None,
) -> Built:
    """The site, and what is wrong with photos and swatches."""
    studio = border.studio
    problems.extend(swatch_problems(studio))
    with progress("pictures") as bar:
        try:
            site = build_site(border, studio.book.pages, folder, bar.tell, memo=memo, allow=allow)
        except Slip as slip:
            raise Slip(Said("build.nothing_built", what=slip.what), slip.remedy) from slip
    known = studio.of_photos & set(studio.mistakes)
    problems.extend(known)
    told_of = {each.place for each in known}
    problems.extend(each for each in site.problems if each.place not in told_of or is_kept(each))
    return site


def _papers(border: Border, memo: Memo, progress: Progress, problems: Problems) -> list[Words]:
    """Tags that are due on one file, made anew until `tags` prints them; certificates, issued."""
    try:
        tags = list(_tags_due(border, memo, progress, problems))
        return [*tags, *_certificates(border, progress, problems)]
    except Slip as slip:  # the site stands; records on a read-only disk have no room for papers
        problems.add(Place(str(border.house.folder / "papers")), slip.what, slip.remedy)
        return [Said("build.no_papers")]


def _tags_due(
    border: Border, memo: Memo, progress: Progress, problems: Problems
) -> Iterator[Words]:
    with progress("hang_tags") as bar:
        due = file_due_tags(border, memo, bar.tell)
    problems.extend(due.problems)
    if due.count:
        tags = Said("build.tags", number=due.count)
        yield Said("build.tags_due", tags=tags, path=str(due.path))
        yield Said("build.tags_print")


def _certificates(border: Border, progress: Progress, problems: Problems) -> Iterator[Words]:
    due, made = certificates_due(border), []
    with progress("certificates") as bar:
        for issued in issue_certificates(border, due, format_for(border.house), bar.tell):
            if issued.slip:
                problems.extend([not_issued(border.studio, issued.number, issued.slip)])
            else:
                made.append(issued.number)
    if made:
        folder = f"{border.house.folder / 'papers'}{os.sep}"
        said = {"folder": folder, "numbers": ", ".join(made)}
        yield Said("build.certificates", number=len(made), **said)


def _site_lines(site: Built, *, only_tell: bool) -> Iterator[Words]:
    yield from seen_lines(site.changes, only_tell=only_tell)
    yield ""
    if only_tell:
        yield Said("build.not_changed")
        return
    pieces = Said("build.pieces", number=site.pieces)
    index = str(site.folder / "index.html")
    yield Said("build.done", pieces=pieces, pages=str(site.pages), index=index)


def seen_lines(changes: Sequence[Change], *, only_tell: bool) -> Iterator[Words]:
    """What the public sees differently: pages one by one, other files in a line."""
    pages = [each for each in changes if each.is_page]
    others = [each for each in changes if not each.is_page]
    key = "build.would_see" if only_tell else "build.sees"
    yield Said(key, count=Said("build.pages", number=len(pages)))
    for change in pages[:SHOWN]:
        yield from _change_lines(change)
    if len(pages) > SHOWN:
        yield Said("build.more", count=str(len(pages) - SHOWN))
    if others:
        yield Said("build.others", number=len(others), files=_endings(others))


def _change_lines(change: Change) -> Iterator[Words]:
    if change.how == "new" and change.title:
        yield Said("build.new", page=change.page, title=change.title)
    else:
        key = "build.is_new" if change.how == "new" else f"build.{change.how}"
        yield Said(key, page=change.page or "index.html")
    for word, old, new in change.fields:
        nothing = Said("build.nothing")
        yield Said("build.field", word=word, old=old or nothing, new=new or nothing)


def _endings(changes: list[Change]) -> str:
    """How many files of which ending: 3 .json, 1 .xml."""
    found = Counter(f".{change.file.rsplit('.', 1)[-1]}" for change in changes)
    return ", ".join(f"{count} {ending}" for ending, count in found.items())
