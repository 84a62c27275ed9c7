"""The maker's Markdown as safe HTML, and as plain text.

In: text from a story, a page or a note. Out: markup of a few harmless elements, or one line of
text for a description. The only door to Markdown and nh3. What is not on the allow-list is
dropped, its words kept; script and style are dropped with their contents; links go to http,
https, mailto or a place on the same site. Headings never skip a level (WCAG 2.2, 1.3.1). Markdown
is CommonMark 0.31.
"""

from __future__ import annotations

import html
import re
from functools import cache
from typing import TYPE_CHECKING

from provenance.problems import Said, Slip

if TYPE_CHECKING:
    from markdown_it import MarkdownIt
    from markdown_it.rules_core import StateCore
    from markupsafe import Markup

_HEADINGS = {"h1", "h2", "h3", "h4", "h5", "h6"}
_ELEMENTS = {"p", "em", "strong", "a", "ul", "ol", "li", "blockquote", "hr", "br"} | _HEADINGS
_HEADING = re.compile(r"<h([1-6])>(.*?)</h\1>", re.DOTALL)
_BLOCK_END = re.compile(r"<br\s*/?>|<hr\s*/?>|</(p|li|h[1-6]|blockquote)>")
_DEEPEST = 4
_MOST_BRACKETS = 6  # inside each other; the time of a text of brackets grows with it
_MOST_LEVELS = 100  # more than `records.pages` lets by: a list has two levels, a quotation one


def as_markup(text: str) -> Markup:
    """What a template of ours has written, to be put into another one as it is."""
    from markupsafe import Markup

    return Markup(text)


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
    return Markup(_rank_headings(clean, demote_headings).strip())


def to_plain(text: str) -> str:
    """The words alone, on one line: for descriptions, alternatives and feeds."""
    import nh3

    spaced = _BLOCK_END.sub(lambda found: found.group() + " ", _markdown(text))
    return " ".join(html.unescape(nh3.clean(spaced, tags=set())).split())


def _markdown(text: str) -> str:
    parser = _parser()
    tokens = parser.parse(text)  # without what is deeper than the most levels
    if any(token.nesting == 1 and token.level + 2 > _MOST_LEVELS for token in tokens):
        raise Slip(Said("text.too_deep"), Said("text.less_deep"))
    return str(parser.renderer.render(tokens, parser.options, {}))


@cache
def _parser() -> MarkdownIt:
    """CommonMark, read in a time that grows with the length of a text, whatever stands in it."""
    from markdown_it import MarkdownIt

    words = MarkdownIt("commonmark", {"maxNesting": _MOST_BRACKETS})

    def read_words(state: StateCore) -> None:
        for token in state.tokens:
            if token.type == "inline":
                token.children = []
                words.inline.parse(token.content, words, state.env, token.children)

    parser = MarkdownIt("commonmark", {"maxNesting": _MOST_LEVELS})
    parser.core.ruler.at("inline", read_words)
    return parser


def _rank_headings(markup: str, demote: int) -> str:
    previous = demote

    def ranked(found: re.Match[str]) -> str:
        nonlocal previous
        level = min(int(found[1]) + demote, previous + 1, _DEEPEST)
        previous = level
        return f"<h{level}>{found[2]}</h{level}>"

    return _HEADING.sub(ranked, markup)
