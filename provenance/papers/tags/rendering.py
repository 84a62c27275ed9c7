"""Papers of a few sheets each made into PDF: sheets ready to be rendered in, their bytes out.

Many are rendered on all cores, a few in this process; the bytes are the same either way.
"""

import gc
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Future
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from datetime import date

from provenance.press.codes.qr import Code
from provenance.press.pdf.render import render_pdf
from provenance.problems import Slip
from provenance.workers import workers

MANY = 16  # sheets; fewer are done before a second Python has started


@dataclass(frozen=True, slots=True)
class Paper:
    """A few sheets ready to be rendered."""

    html: str
    assets: Mapping[str, bytes | Code]
    day: date
    sheets: int

    @property
    def codes(self) -> list[Code]:
        """The codes on it."""
        return [asset for asset in self.assets.values() if isinstance(asset, Code)]


Tell = Callable[[int, int], None]


def render_paper(paper: Paper) -> bytes:
    """One paper as PDF; also run in other processes.

    No search for garbage meanwhile: a few sheets need little room, and looking through their
    boxes again and again takes an eighth of the time.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        return render_pdf(paper.html, paper.assets, archival=False, created=paper.day)
    finally:
        if was_on:
            gc.enable()


def rendered(papers: Sequence[Paper], tell: Tell) -> Iterator[bytes]:
    """All papers in turn, on all cores when they are many; the bytes are the same either way."""
    helpers = min((os.cpu_count() or 1), len(papers)) - 1
    if sum(paper.sheets for paper in papers) < MANY or helpers < 1:
        for done, paper in enumerate(papers, 1):
            yield render_paper(paper)
            tell(done, len(papers))
        return
    with workers(helpers, afresh=True) as pool:
        # The helpers begin at the end, this process at the front.
        waiting = [pool.submit(render_paper, paper) for paper in reversed(papers)][::-1]
        for done, (paper, future) in enumerate(zip(papers, waiting, strict=True), 1):
            yield _done(paper, future)
            tell(done, len(papers))


def _done(paper: Paper, future: Future[bytes]) -> bytes:
    """What nobody has begun is done here; so is what another process could not do."""
    if future.cancel():
        return render_paper(paper)
    try:
        return future.result()
    except (BrokenProcessPool, Slip):
        return render_paper(paper)
