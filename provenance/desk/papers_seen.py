"""Tag and certificate as they would be printed, as pictures from the true papers.

In: a reading of the studio, the number of a piece. Out: PNGs. What a paper says is worked out from
public facts in the studio's thread; it is laid out and drawn in a worker process, so that a slow
one holds nothing up. Nothing is filed, noted or issued.
"""

from concurrent.futures import Executor
from fractions import Fraction

from provenance.build.certificates import certificate_seen, seen_asked
from provenance.build.tags import Wishes, imposing, lay_tags
from provenance.desk.memory import Memory, Seen
from provenance.papers.tags.finishing import join_papers, rendered
from provenance.papers.tags.imposition import lay_out
from provenance.papers.tags.paper import Paper
from provenance.press.pdf.pictured import Part, page_png
from provenance.problems import Said, Slip

_AROUND = 3.0  # mm of the sheet round the tag
_TAG_DPI, _PAGE_DPI = 300, 110


def tag_png(memory: Memory, pool: Executor, seen: Seen, number: str) -> bytes:
    """The first tag of a piece, cut from its sheet. Slip says why it has none."""

    def laid() -> tuple[list[Paper], Part]:
        wishes = Wishes(numbers=(number,))
        run = lay_tags(seen.border, wishes)
        for problem in run.problems:
            raise Slip(problem.what, problem.remedy, problem.place)
        if not run.tags:
            raise Slip(next((why for _, why in run.left_out), Said("desk.no_tag")))
        form, how = run.tags[0].form, imposing(seen.border, wishes)
        width = Fraction(form.width)
        layout = lay_out(how.sheet, width, Fraction(form.cell_height))
        left, top = (float(a + b) for a, b in zip(layout.corner(how.first), how.shift, strict=True))
        size = (float(layout.cell_width) + 2 * _AROUND, float(layout.cell_height) + 2 * _AROUND)
        return run.papers, (left - _AROUND, top - _AROUND, *size)

    papers, part = memory.work(laid)
    return pool.submit(_tag, papers, part).result()


def _tag(papers: list[Paper], part: Part) -> bytes:
    content = join_papers(list(rendered(papers, lambda *_: None)))
    return page_png(content, 0, part, _TAG_DPI) or b""


def certificate_pngs(memory: Memory, pool: Executor, seen: Seen, number: str) -> tuple[bytes, ...]:
    """Every page of the certificate that would be issued now. Slip says why there is none."""
    asked = memory.work(lambda: seen_asked(seen.border, number))
    return pool.submit(_certificate, asked).result()


def _certificate(asked: object) -> tuple[bytes, ...]:
    content, pages = certificate_seen(asked), list[bytes]()  # type: ignore[arg-type]
    while picture := page_png(content, len(pages), dpi=_PAGE_DPI):
        pages.append(picture)
    return tuple(pages)
