"""The maker's Markdown as safe HTML, and as plain text.

In: text from a story, a page or a note. Out: markup of a few harmless elements, or one line of
text for a description. The only door to nh3; `press/marking` reads Markdown. What is not on the
allow-list is dropped, its words kept; script and style are dropped with their contents; links go
to http, https, mailto or a place on the same site. Headings never skip a level (WCAG 2.2, 1.3.1).
"""

from __future__ import annotations

import html
import re
from typing import TYPE_CHECKING

from provenance.problems import Said, Slip
from provenance.reference.marks import too_deep

if TYPE_CHECKING:
    from markupsafe import Markup

_HEADINGS = {"h1", "h2", "h3", "h4", "h5", "h6"}
_ELEMENTS = {"p", "em", "strong", "a", "ul", "ol", "li", "blockquote", "hr", "br"} | _HEADINGS
_HEADING = re.compile(r"<h([1-6])>(.*?)</h\1>", re.DOTALL)
_BLOCK_END = re.compile(r"<br\s*/?>|<hr\s*/?>|</(p|li|h[1-6]|blockquote)>")
_EMPTY = re.compile(r"(?:<p>\s*</p>\s*)+")  # where a picture stood, or elements that are dropped
_DEEPEST = 4
_MOST_LEVELS = 50  # of lists and quotations: more than records let by


def as_markup(text: str) -> Markup:
    """What a template of ours has written, to be put into another one as it is."""
    from markupsafe import Markup

    return Markup(text)


def escaped(text: str) -> Markup:
    """A text as markup that shows it: no sign of it means anything else."""
    from markupsafe import escape

    return escape(text)


def to_html(text: str, *, demote_headings: int = 1) -> Markup:
    """Safe markup of a Markdown text; `# Heading` becomes an `h2`, one level down, by default."""
    import nh3
    from markupsafe import Markup

    clean = nh3.clean(
        _markdown(text),
        tags=_ELEMENTS,
        attributes={"a": {"href"}, "ol": {"start"}},
        url_schemes={"http", "https", "mailto"},
        link_rel=None,
    )
    return Markup(_rank_headings(_EMPTY.sub("", clean), demote_headings).strip())


def to_plain(text: str) -> str:
    """The words alone, on one line: for descriptions, alternatives and feeds."""
    import nh3

    spaced = _BLOCK_END.sub(lambda found: found.group() + " ", _markdown(text))
    return " ".join(html.unescape(nh3.clean(spaced, tags=set())).split())


def shortened(text: str, most: int = 300) -> str:
    """So many characters of plain text at most, in whole words."""
    return text if len(text) <= most else text[: most + 1].rsplit(" ", 1)[0][:most]


def _markdown(text: str) -> str:
    from provenance.press.marking import marked

    refusal = Slip(Said("text.too_deep"), Said("text.less_deep"))
    if too_deep(text, _MOST_LEVELS):
        raise refusal
    try:
        return marked(text)
    except RecursionError:
        raise refusal from None


def _rank_headings(markup: str, demote: int) -> str:
    previous = demote

    def ranked(found: re.Match[str]) -> str:
        nonlocal previous
        level = min(int(found[1]) + demote, previous + 1, _DEEPEST)
        previous = level
        return f"<h{level}>{found[2]}</h{level}>"

    return _HEADING.sub(ranked, markup)
