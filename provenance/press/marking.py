"""Python-Markdown, made to read in a time that grows with the length of a text.

In: a Markdown text of a maker. Out: HTML that `press/markup` still has to clean. The library's own
ways to find links, code and HTML look from every opening sign to the end of the text; these here
look to the next one. Blocks are set apart by blank lines before it sees them, and a list may follow
its sentence at once, as in CommonMark 0.31. Pictures, which no text can show, are left out.
"""

import re
from collections.abc import Iterator
from xml.etree.ElementTree import Element

from markdown import Markdown
from markdown.inlinepatterns import HtmlInlineProcessor, InlineProcessor
from markdown.util import AtomicString, code_escape

_NOTE, _NOTE_END = "<!--", "-->"
_TEXT = r"\[((?:[^\[\]]++|\[[^\[\]]*+\])*+)\]"
_ADDRESS = (
    r"\(\s*+(?:<([^<>\n]*+)>|((?:[^()\s<]++|\([^()\s]*+\))*+))"
    r"(?:\s++(\"[^\"]*+\"|'[^']*+'|\([^()]*+\)))?+\s*+\)"
)
_NAME = r"(?:\[([^\[\]]*+)\])?+"
_CODE = r"(?<![\\`])(`{1,3})(?!`)(.+?)(?<!`)\1(?!`)"
_HTML = (
    r"""(<(?:/?+[a-zA-Z][^\s"'<>@]*+(?:\s(?:[^"'<>]++|"[^"]*+"|'[^']*+')*+)?+"""
    r"|[!?](?!--)[^<>]*+)>)"
)
# An address of 500 signs at most: it is written out wherever its name stands.
_REFERENCE = re.compile(
    r" {0,3}\[([^\[\]]+)\]:[ ]*+(?:<([^<>]{0,500}+)>|(\S{1,500}+))"
    r"(?:[ ]++(\".*\"|'.*'|\(.*\)))?+[ ]*+"
)
_ITEM = re.compile(r" {0,3}(?:[*+-]|1\.)[ ]++\S")
_ANY_ITEM = re.compile(r" {0,3}(?:[*+-]|[0-9]++\.)[ ]")
_ALONE = re.compile(r"#|[=-]++[ ]*+$|[ ]{0,3}(?:(?:\*[ ]*+){3,}+|(?:-[ ]*+){3,}+|(?:_[ ]*+){3,}+)$")


class _Link(InlineProcessor):
    """`[words](address)`, with an address that has no space in it."""

    ANCESTOR_EXCLUDES = ("a",)

    def handleMatch(  # type: ignore[override]
        self, m: re.Match[str], data: str
    ) -> tuple[Element | None, int, int]:
        return self._link(m[1], m[2] or m[3] or "", m[4]), m.start(), m.end()

    def _link(self, words: str, address: str, title: str | None) -> Element:
        link = Element("a", href=str(self.unescape(address)))
        link.text = words
        if title:
            link.set("title", str(self.unescape(title[1:-1])))
        return link


class _Reference(_Link):
    """`[words][name]`, `[name][]` or `[name]`, where the name has an address."""

    def handleMatch(  # type: ignore[override]
        self, m: re.Match[str], data: str
    ) -> tuple[Element | None, int, int]:
        known = self.md.references.get(_named(m[2] or m[1]))
        if known is None:
            return None, m.start(), m.start() + 1
        return self._link(m[1], *known), m.start(), m.end()


class _Nothing(InlineProcessor):
    """A picture."""

    def handleMatch(  # type: ignore[override]
        self, m: re.Match[str], data: str
    ) -> tuple[str, int, int]:
        return "", m.start(), m.end()


class _Code(InlineProcessor):
    """Words between one, two or three backticks."""

    def handleMatch(  # type: ignore[override]
        self, m: re.Match[str], data: str
    ) -> tuple[Element, int, int]:
        code = Element("code")
        code.text = AtomicString(code_escape(m[2].strip()))
        return code, m.start(), m.end()


def marked(text: str) -> str:
    """The text as HTML, not yet clean."""
    reader = _reader()
    lines = list(_set_apart(_without_notes(text.expandtabs(4)), reader.references))
    if reader.references:
        reader.inlinePatterns.register(_Reference(_TEXT + _NAME, reader), "reference", 130)
    return reader.convert("\n".join(lines))


def _reader() -> Markdown:
    reader = Markdown(extensions=["sane_lists"], output_format="html")
    reader.preprocessors.deregister("html_block")
    reader.parser.blockprocessors.deregister("reference")
    patterns = reader.inlinePatterns
    for name in ("reference", "image_reference", "short_reference", "short_image_ref"):
        patterns.deregister(name)
    patterns.register(_Code(_CODE, reader), "backtick", 190)
    patterns.register(_Nothing("!" + _TEXT + _ADDRESS, reader), "image_link", 165)
    patterns.register(_Link(_TEXT + _ADDRESS, reader), "link", 160)
    patterns.register(HtmlInlineProcessor(_HTML, reader), "html", 90)
    return reader


def _without_notes(text: str) -> str:
    """The text without what stands between `<!--` and `-->`, which is the maker's own."""
    first, *rest = text.split(_NOTE)
    kept = [first]
    for part in rest:
        _, ended, after = part.partition(_NOTE_END)
        kept.append(after if ended else _NOTE + part)
    return "".join(kept)


def _set_apart(text: str, references: dict[str, tuple[str, str]]) -> Iterator[str]:
    """The lines with a blank one around headings and rules, and before a list after words; what
    the names of references lead to goes to `references`."""
    before, in_list = "", False
    for line in text.split("\n"):
        if not before.strip() and (found := _REFERENCE.fullmatch(line)):
            references.setdefault(_named(found[1]), (found[2] or found[3] or "", found[4] or ""))
            continue
        if before.strip() and _ITEM.match(line) and not in_list:
            yield ""
        yield line
        if _ALONE.match(line):
            yield ""
            line = ""
        in_list = bool(line.strip()) and (in_list or bool(_ANY_ITEM.match(line)))
        before = line


def _named(name: str) -> str:
    return " ".join(name.lower().split())
