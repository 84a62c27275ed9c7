"""Every page of the site, as path -> bytes.

In: the setting, the pieces shown, the maker's words. Out: HTML from templates, the stylesheet,
letters, feed and sitemap. Each page gets the way back to the root, so that the folder opens from
disk.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from provenance.press.letters.fonts import site_font_css
from provenance.press.markup import to_html, to_plain
from provenance.press.templates import render, source
from provenance.public.facts import PieceFacts
from provenance.public.setting import Setting
from provenance.records.pages import Words
from provenance.site.dyes import DyeView, dye_views
from provenance.site.exports import export_files, exports_of
from provenance.site.feed import feed, robots, sitemap
from provenance.site.lists import listings
from provenance.site.places import fleece_views, outlet_views
from provenance.site.shown import ShownPiece, edge_style, newest_first
from provenance.site.structured import structured, studio_structured
from provenance.site.studio import SiteStudio

KNOWN_WORDS = ("about", "process", "care")


@dataclass(frozen=True)
class SiteParts:
    """Everything the pages are made from."""

    setting: Setting
    studio: SiteStudio
    pieces: tuple[ShownPiece, ...]
    withdrawn: tuple[PieceFacts, ...]
    words: Mapping[str, Words]
    letters: Mapping[str, bytes]

    @property
    def listed(self) -> list[ShownPiece]:
        """Pieces in the lists, newest first; the others are reached by their address alone."""
        return newest_first([piece for piece in self.pieces if piece.is_listed])


def site_files(parts: SiteParts) -> dict[str, bytes]:
    """The whole site but its pictures."""
    files: dict[str, bytes] = {}
    for path, template, context in _pages(parts):
        files[path] = _page(parts, path, template, context).encode("utf-8")
    for piece in parts.pieces:
        files |= export_files(parts.setting, parts.studio, piece)
    css = source("site/site.css", parts.setting.templates)
    files["site.css"] = site_font_css("letters/").encode("utf-8") + css
    files |= {f"letters/{name}": content for name, content in parts.letters.items()}
    files["feed.xml"] = feed(parts.setting, parts.studio, parts.listed)
    files["sitemap.xml"] = sitemap(parts.studio, sorted(files), parts.listed)
    files["robots.txt"] = robots(parts.studio)
    files[".nojekyll"] = b""
    files[".studio"] = f"{parts.studio.name}\n{parts.studio.site}\n".encode()
    return files


Page = tuple[str, str, dict[str, Any]]


def _pages(parts: SiteParts) -> Iterator[Page]:
    setting, listed = parts.setting, parts.listed
    dyes = dye_views(setting, listed)
    lists = listings(setting, listed, dyes)
    outlets = outlet_views(setting, listed)
    yield (
        "index.html",
        "site/home.html",
        {
            "outlets": outlets,
            "intro": _intro(parts),
            "front": _front(listed),
            "structured": studio_structured(setting, parts.studio),
        },
    )
    yield "work/index.html", "site/work.html", {"listing": lists[0], "lists": lists}
    for listing in lists[1:]:
        yield f"{listing.path}index.html", "site/work.html", {"listing": listing, "lists": lists}
    for number, piece in enumerate(listed):
        yield _piece_page(parts, piece, dyes, listed, number)
    for piece in parts.pieces:
        if not piece.is_listed:
            yield _piece_page(parts, piece, dyes, [piece], 0)
    for facts in parts.withdrawn:
        yield f"{facts.number}/index.html", "site/withdrawn.html", {"facts": facts}
    yield "dyes/index.html", "site/dyes.html", {"dyes": dyes}
    for dye in dyes:
        yield f"{dye.path}index.html", "site/dye.html", {"dye": dye}
    yield "fleeces/index.html", "site/fleeces.html", {"fleeces": fleece_views(setting, listed)}
    yield "where/index.html", "site/where.html", {"outlets": outlets}
    yield "checking/index.html", "site/checking.html", {}
    for words in parts.words.values():
        path = "making" if words.name == "process" else words.name
        context = {"words": words, "body": to_html(words.text), "here": path}
        yield f"{path}/index.html", "site/words.html", context
    yield "404.html", "site/not_found.html", {}


def _front(listed: Sequence[ShownPiece]) -> ShownPiece | None:
    """The piece the home page opens with: the newest that can be bought, else the newest."""
    return next((piece for piece in listed if piece.is_for_sale), listed[0] if listed else None)


def _piece_page(
    parts: SiteParts,
    piece: ShownPiece,
    dyes: Sequence[DyeView],
    listed: Sequence[ShownPiece],
    number: int,
) -> Page:
    carried = [dye for dye in dyes if dye.name in piece.facts.dye_names]
    context = {
        "piece": piece,
        "facts": piece.facts,
        "story": to_html(piece.facts.story) if piece.facts.story else "",
        "dyes": carried,
        "newer": listed[number - 1] if number else None,
        "older": listed[number + 1] if number + 1 < len(listed) else None,
        "structured": structured(parts.setting, parts.studio, piece),
        "exports": exports_of(parts.studio),
        "description": _description(piece),
    }
    return f"{piece.path}index.html", "site/piece.html", context


def _description(piece: ShownPiece) -> str:
    facts = piece.facts
    said = [f"{facts.kind_word}, {facts.year}", facts.size_cm, facts.fibres, facts.dyes]
    start = ". ".join(part for part in said if part) + "."
    story = to_plain(facts.story) if facts.story else ""
    return f"{start} {story}"[:300].rsplit(" ", 1)[0] if story else start


def _intro(parts: SiteParts) -> str:
    """The first paragraph of the about page, for the foot of the home page."""
    about = parts.words.get("about")
    first = about.text.split("\n\n")[0] if about else ""
    return str(parts.setting.book.studio.about or "") or to_plain(first)


def _page(parts: SiteParts, path: str, template: str, context: Mapping[str, Any]) -> str:
    depth = path.count("/")
    address = path.removesuffix("index.html")
    shared = {
        "studio": parts.studio,
        "phrases": parts.setting.phrases,
        "say": parts.setting.phrases.say,
        "root": "../" * depth,
        "address": address,
        "canonical": f"{parts.studio.site}/{address}" if parts.studio.site else "",
        "pieces": parts.listed,
        "extra_words": [w for w in parts.words.values() if w.name not in KNOWN_WORDS],
        "known_words": [name for name in KNOWN_WORDS if name in parts.words],
        "piece": None,
        "edge_style": edge_style,
    }
    return render(template, {**shared, **context}, parts.setting.templates)
