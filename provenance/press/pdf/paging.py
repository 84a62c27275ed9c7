"""Which page of a laid-out paper holds what, and pages in fours for a book that is folded.

In: a `Laid` paper. Out: page numbers by named places; or the paper with fewer spare pages; or, of a
book's HTML and files, both, and the book in a file. A large one is set by a process of its own:
the renderer's memory goes with it, and is there again for what follows.
"""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from provenance.press.pdf.files import Files
from provenance.press.pdf.render import Laid, lay_out
from provenance.workers import workers

MANY = 24  # pictures; fewer take less memory than a process takes time to begin
SPARE = "blank-"  # how places of spare pages begin


@dataclass(frozen=True, slots=True)
class Typeset:
    """What is known of a book that was set: how many pages, which place begins on which."""

    pages: int
    places: dict[str, int]


def typeset(html: str, files: Files, into: Path, created: date) -> Typeset:
    """The book, tagged, its pages in fours, in a file; Slip as `lay_out` has it."""
    if files.laid_aside < MANY:
        return _typeset(html, files, into, created)
    with workers(1, afresh=True) as own:
        return own.submit(_typeset, html, files, into, created).result()


def _typeset(html: str, files: Files, into: Path, created: date) -> Typeset:
    laid = lay_out(html, files, into.parent)
    fold_in_fours(laid, SPARE)
    laid.put(into, created)
    return Typeset(laid.pages, places_of(laid))


def places_of(laid: Laid) -> dict[str, int]:
    """The page, from 1, on which each named place (an `id`) begins."""
    found: dict[str, int] = {}
    for number, page in enumerate(laid.document.pages, 1):
        for name in page.anchors:
            found.setdefault(name, number)
    return found


def fold_in_fours(laid: Laid, spare: str) -> None:
    """Take pages away whose place is named `spare...`, until the rest can be folded."""
    pages = laid.document.pages
    blank = [page for page in pages if any(name.startswith(spare) for name in page.anchors)]
    for page in blank[: len(pages) % 4]:
        pages.remove(page)
