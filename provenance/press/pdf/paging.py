"""Which page of a laid-out paper holds what, and pages in fours for a book that is folded.

In: a `Laid` paper. Out: page numbers by named places; or the paper with fewer spare pages.
"""

from provenance.press.pdf.render import Laid


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
