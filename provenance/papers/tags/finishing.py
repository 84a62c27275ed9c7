"""Papers of tags finished: rendered on all cores when there are many, and joined.

In: papers of a few sheets each. Out: the bytes of one PDF, from which every code is read back.
"""

import gc
import os
from collections.abc import Iterator, Sequence
from concurrent.futures import Future
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass

from provenance.papers.tags.paper import MANY, Paper
from provenance.press.codes.qr import Code
from provenance.press.pdf.codes import check_codes
from provenance.press.pdf.joining import joined
from provenance.press.pdf.render import render_pdf
from provenance.problems import Slip
from provenance.workers import Tell, workers


@dataclass(frozen=True, slots=True)
class Done:
    """A paper that is rendered: its bytes, how many sheets it has, and its codes where it is fresh.

    What was kept from before was read back then, and is not read again.
    """

    content: bytes
    sheets: int
    codes: Sequence[Code] | None = None


def fresh(paper: Paper) -> Done:
    """A paper, rendered now."""
    return Done(render_paper(paper), paper.sheets, paper.codes)


def join_papers(papers: Sequence[Done]) -> bytes:
    """The finished file of papers that are done."""
    content = joined([paper.content for paper in papers])
    if len(papers) > 1:
        _read_back(content, papers)
    return content


def finish_papers(papers: Sequence[Paper | Done]) -> tuple[bytes, list[Done]]:
    """The finished file of papers of which some have still to be rendered, and all of them done."""
    done = [fresh(paper) if isinstance(paper, Paper) else paper for paper in papers]
    return join_papers(done), done


def _read_back(content: bytes, papers: Sequence[Done]) -> None:
    """Every code of a fresh paper is read once more where the papers lie together."""
    pages, codes, before = set[int](), list[Code](), 0
    for paper in papers:
        if paper.codes is not None:
            pages.update(range(before + 1, before + paper.sheets + 1))
            codes += paper.codes
        before += paper.sheets
    check_codes(content, codes, pages)


def render_paper(paper: Paper) -> bytes:
    """One paper as PDF; also run in other processes.

    No search for garbage meanwhile: a few sheets need little room, and looking through their
    boxes again and again takes an eighth of the time.
    """
    was_on = gc.isenabled()
    gc.collect(0)  # what the paper before this one left behind
    gc.disable()
    try:
        return render_pdf(paper.html, paper.assets, archival=False, created=paper.day)
    finally:
        if was_on:
            gc.enable()


def rendered(papers: Sequence[Paper], tell: Tell) -> Iterator[Done]:
    """All papers in turn, on all cores when they are many; the bytes are the same either way."""
    helpers = min((os.cpu_count() or 1), len(papers)) - 1
    if sum(paper.sheets for paper in papers) < MANY or helpers < 1:
        for done, paper in enumerate(papers, 1):
            yield fresh(paper)
            tell(done, len(papers))
        return
    with workers(helpers, afresh=True) as pool:
        # The helpers begin at the end, this process at the front.
        waiting = [pool.submit(fresh, paper) for paper in reversed(papers)][::-1]
        for done, (paper, future) in enumerate(zip(papers, waiting, strict=True), 1):
            yield _done(paper, future)
            tell(done, len(papers))


def _done(paper: Paper, future: Future[Done]) -> Done:
    """What nobody has begun is done here; so is what another process could not do."""
    if future.cancel():
        return fresh(paper)
    try:
        return future.result()
    except (BrokenProcessPool, Slip):
        return fresh(paper)
