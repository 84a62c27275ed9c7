"""Several finished papers as one file: their pages in turn.

In: the bytes of PDF files written by `pdf.render_pdf`. Out: one PDF; title, language and all else
that is said of the whole file are those of the first. It is there because one long paper takes
longer than its parts, and parts can be rendered on several cores. Equal parts give equal bytes.
"""

from collections.abc import Sequence
from contextlib import ExitStack

from provenance.press.pdf.opening import opened, saved


def joined(papers: Sequence[bytes]) -> bytes:
    """The pages of all papers in one file; a single paper comes back as it is."""
    if len(papers) == 1:
        return papers[0]
    with ExitStack() as held:
        whole, *others = (held.enter_context(opened(content)) for content in papers)
        for other in others:
            whole.pages.extend(other.pages)
        return saved(whole)
