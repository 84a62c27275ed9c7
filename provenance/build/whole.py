"""The whole build: the site, then the tags and certificates that are due.

In: the border, the target folder, ways to tell how far the work is. Out: what was made and what
could not be, and lines that tell it. The site stands even where the papers find no room.
"""

import os
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import Executor
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from provenance.build.facts import Facts
from provenance.build.last_good import is_kept
from provenance.build.memo import Memo
from provenance.build.opening import swatch_problems
from provenance.build.papers_due import PapersDue, Progress
from provenance.build.placing import Hands
from provenance.build.site import Built, Change, build_site
from provenance.build.start_words import kept_from_others
from provenance.build.taking import Allow
from provenance.build.witnesses import tell_site
from provenance.press.pdf.render import get_ready
from provenance.problems import Problem, Problems, Said, Slip, Words, WrongWish
from provenance.public.border import Border
from provenance.studio import Studio
from provenance.workers import workers

SHOWN = 40


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


@contextmanager
def crew() -> Iterator[Executor]:
    """Workers for a build; one gets ready to render papers while the records are read."""
    with workers() as pool:
        if (os.cpu_count() or 1) > 1:
            pool.submit(get_ready)
        yield pool


def build_all(
    border: Border, folder: Path, pool: Executor, progress: Progress, *, allow: Allow | None
) -> Built:
    """Site, then tags and certificates that are due, on the workers of a pool. Slip when nothing
    could be built.

    `allow` is asked before the public loses anything; without it the changes are only told.
    """
    only_tell, problems = allow is None, Problems()
    with Memo(border.house.folder) as memo:
        border.keeping = facts = Facts(memo)
        papers = PapersDue(border, memo, pool)
        hands = Hands(memo, facts, pool, _nothing if only_tell else papers.begin)
        site = _site(border, folder, hands, progress, allow)
        problems.extend(_of_site(border.studio, site))
        lines = list(_site_lines(site, only_tell=only_tell))
        if not only_tell:
            lines += papers.file(progress, problems)
            tell_site(site.folder, border.studio.book)
        memo.drop_others(border.studio.book.pieces)
    return replace(site, problems=tuple(problems), lines=tuple(lines))


def _nothing() -> None:
    """What is begun meanwhile where things are only told."""


def _site(
    border: Border, folder: Path, hands: Hands, progress: Progress, allow: Allow | None
) -> Built:
    """The site, in its place."""
    with progress("pictures") as bar:
        try:
            return build_site(border, folder, hands, bar.tell, allow=allow)
        except Slip as slip:
            raise Slip(Said("build.nothing_built", what=slip.what), slip.remedy) from slip


def _of_site(studio: Studio, site: Built) -> Iterator[Problem]:
    """What is wrong with swatches and photos; what `check` tells is told in its words."""
    known = studio.of_photos & set(studio.mistakes)
    told_of = {each.place for each in known}
    yield from swatch_problems(studio)
    yield from known
    yield from (each for each in site.problems if each.place not in told_of or is_kept(each))


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
