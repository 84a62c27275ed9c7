"""The whole build: the site, then the tags and certificates that are due.

In: the border, the target folder, ways to tell how far the work is. Out: what was made and what
could not be, and lines that tell it. The site stands even where the papers find no room.
"""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from provenance.build.as_before import note_left
from provenance.build.crew import Crew, little_waste
from provenance.build.digests import PhotoDigests
from provenance.build.facts import Facts
from provenance.build.last_good import is_kept
from provenance.build.made_of import note_made_of
from provenance.build.memo import Memo
from provenance.build.opening import swatch_problems
from provenance.build.papers_due import PapersDue, Progress
from provenance.build.placing import Hands
from provenance.build.sealing import open_sealing
from provenance.build.seen import Built, site_lines
from provenance.build.site import build_site
from provenance.build.taking import Allow
from provenance.build.witnesses import tell_site
from provenance.problems import Problem, Problems, Said, Slip
from provenance.public.border import Border
from provenance.studio import Studio


def build_all(
    border: Border, folder: Path, crew: Crew, progress: Progress, *, allow: Allow | None
) -> Built:
    """Site, then tags and certificates that are due, made by a crew. Slip when nothing could be
    built.

    `allow` is asked before the public loses anything; without it the changes are only told.
    """
    only_tell, problems, sealing = allow is None, Problems(), open_sealing(border)
    with little_waste(), Memo(border.house.folder) as memo:
        border.keeping = facts = Facts(memo)
        papers = PapersDue(border, memo, crew.pool, crew.warm, sealing)
        if sealing:
            sealing.expects(lambda: papers.due)
        begun = (_nothing, _nothing) if only_tell else (papers.begin, papers.begin_sealed)
        photos = PhotoDigests(border.house.folder)
        hands = Hands(memo, facts, photos, crew.pool, crew.warm, begun[0], sealing, begun[1])
        site = _site(border, folder, hands, progress, allow)
        problems.extend(_of_site(border.studio, site))
        lines = list(site_lines(site, only_tell=only_tell))
        if sealing and sealing.why:
            lines.append(Said("seal.goes_unsigned", what=sealing.why.what))
        if not only_tell:
            lines += papers.file(progress, problems)
            tell_site(site.folder, border.studio.book)
            note_made_of(border.studio, memo, site.folder)
            if not problems:
                note_left(border.studio, memo, site, photos, papers.tags)
        memo.drop_others(border.studio.book.pieces)
    return replace(site, problems=tuple(problems), lines=tuple(lines))


def _nothing(*_: object) -> None:
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
