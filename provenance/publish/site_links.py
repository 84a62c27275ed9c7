"""Whether the pages of a site lead to what is there.

In: the site folder, the names of its files, its address. Out: every file of the site that a page
or a style names and the folder lacks, and who names it. What leads to other sites is left alone:
nobody is asked anything here. What an address means is RFC 3986 (5.2), and the HTML standard's
`srcset`.
"""

import html
import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import unquote, urldefrag, urljoin, urlsplit

_BODIES = re.compile(r"(<(script|style)\b[^>]*>).*?</\2\s*>", re.DOTALL | re.IGNORECASE)
_COMMENTS = re.compile(r"<!--.*?-->", re.DOTALL)
_TAG = re.compile(r"""<([a-zA-Z][\w-]*)((?:[^"'<>]++|"[^"]*+"|'[^']*+')*+)>""")
_WORD = re.compile(r"""([a-zA-Z][\w:-]*)\s*=\s*(?:"([^"]*)"|'([^']*)')""")
_URL = re.compile(r"""url\(\s*["']?([^"')]+)["']?\s*\)""")
_NOWHERE = "https://site.invalid"
_BESIDE = ("canonical", "alternate", "license", "author", "prev", "next")


@dataclass(frozen=True, slots=True)
class Missing:
    """A file that is not there, the first page that names it, how many do; `is_part` says that the
    page shows or needs it (a picture, a style), else it leads there."""

    name: str
    page: str
    count: int
    is_part: bool


def missing_files(site: Path, names: Collection[str], address: str) -> Iterator[Missing]:
    """Every file of the site that is named and isn't there, in the order of their names."""
    known, found = frozenset(names), dict[str, dict[str, bool]]()
    folders = frozenset(name.removesuffix("index.html") for name in known)
    for page in sorted(known):
        for link, is_part in _links(site / page):
            name = _name_of(link, page, address)
            if name is not None and name not in known and f"{name}/" not in folders:
                pages = found.setdefault(name, {})
                pages[page] = pages.get(page, False) or is_part
    for name, pages in sorted(found.items()):
        yield Missing(name, next(iter(pages)), len(pages), any(pages.values()))


def _links(path: Path) -> Iterator[tuple[str, bool]]:
    """What a page or a style names, and whether it is a part of it."""
    if path.suffix == ".css":
        text = path.read_text(encoding="utf-8", errors="replace")
        yield from ((link, True) for link in _URL.findall(text))
    elif path.suffix in (".html", ".htm"):
        text = _COMMENTS.sub("", path.read_text(encoding="utf-8", errors="replace"))
        for tag, rest in _TAG.findall(_BODIES.sub(r"\1", text)):
            words = {word.lower(): html.unescape(a or b) for word, a, b in _WORD.findall(rest)}
            yield from _links_of(tag.lower(), words)


def _links_of(tag: str, words: dict[str, str]) -> Iterator[tuple[str, bool]]:
    if link := words.get("href"):
        yield link, tag == "link" and not {*words.get("rel", "").split()} & {*_BESIDE}
    for word in ("src", "poster"):
        if link := words.get(word):
            yield link, True
    for each in words.get("srcset", "").split(", "):
        if link := each.strip().split(" ")[0]:
            yield link, True
    if tag == "meta" and words.get("property") == "og:image":
        yield words.get("content", ""), True


def _name_of(link: str, page: str, address: str) -> str | None:
    """The file of the site that is meant; None for what lies elsewhere."""
    home = address or _NOWHERE
    to = urldefrag(urljoin(f"{home}/{page}", link.strip()))[0]
    parts, own = urlsplit(to), urlsplit(home)
    if parts.scheme not in ("http", "https") or parts.netloc.lower() != own.netloc.lower():
        return None
    if not f"{parts.path}/".startswith(f"{own.path}/"):
        return None
    name = unquote(parts.path[len(own.path) :]).lstrip("/")
    return f"{name}index.html" if name.endswith("/") or not name else name
