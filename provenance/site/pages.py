"""Every page of the site, as path -> bytes.

In: public facts, the pieces shown, the maker's words. Out: HTML from templates, the stylesheet,
letters, feed and sitemap. Each page gets the way back to the root, so that the folder opens from
disk.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from provenance.press.letters.fonts import site_font_css
from provenance.press.markup import to_html, to_plain
from provenance.press.templates import render, source
from provenance.public.outlet import PublicOutlet
from provenance.public.piece import PublicPiece
from provenance.public.shapes import PublicWords
from provenance.public.shelves import PublicDye, PublicFleece
from provenance.public.studio import PublicStudio
from provenance.site.exports import export_files, exports_of
from provenance.site.feed import feed, robots, sitemap
from provenance.site.lists import listings
from provenance.site.places import DyeView, dye_views, fleece_anchor, fleece_views, outlet_views
from provenance.site.shown import ShownPiece, age, edge_style
from provenance.site.structured import structured, studio_structured

KNOWN_WORDS = ("about", "process", "care")


@dataclass(frozen=True)
class Site:
    """Everything the pages are made from: public facts, and nothing else."""

    studio: PublicStudio
    dyes: tuple[PublicDye, ...]
    fleeces: tuple[PublicFleece, ...]
    outlets: tuple[PublicOutlet, ...]
    pieces: tuple[ShownPiece, ...]
    withdrawn: tuple[PublicPiece, ...]
    words: Mapping[str, PublicWords]
    letters: Mapping[str, bytes]

    @cached_property
    def listed(self) -> list[ShownPiece]:
        """Pieces in the lists, newest first; the others are reached by their address alone."""
        listed = (piece for piece in self.pieces if piece.is_listed)
        return sorted(listed, key=age, reverse=True)


def site_files(site: Site) -> dict[str, bytes]:
    """The whole site but its pictures."""
    files: dict[str, bytes] = {}
    for address, template, context in _pages(site):
        name = address if address.endswith(".html") else f"{address}index.html"
        files[name] = _page(site, address, template, context).encode("utf-8")
    for piece in site.pieces:
        files |= dict(export_files(site.studio, piece))
    css = source("site/site.css", site.studio.templates)
    files["site.css"] = site_font_css("letters/").encode("utf-8") + css
    files |= {f"letters/{name}": content for name, content in site.letters.items()}
    files["feed.xml"] = feed(site.studio, site.listed)
    files["sitemap.xml"] = sitemap(site.studio, sorted(files), site.listed)
    files["robots.txt"] = robots(site.studio)
    files[".nojekyll"] = b""
    files[".studio"] = f"{site.studio.name}\n{site.studio.site}\n".encode()
    return files


def _pages(site: Site) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Address, template and values of each page."""
    studio, listed = site.studio, site.listed
    dyes = dye_views(site.dyes, listed)
    lists = listings(studio.phrases, listed, dyes)
    outlets = outlet_views(site.outlets, listed, studio.today)
    home = {"intro": _intro(site), "front": _front(listed), "structured": studio_structured(studio)}
    yield "", "site/home.html", {"outlets": outlets, **home}
    for listing in lists:
        yield listing.path, "site/work.html", {"listing": listing, "lists": lists}
    for piece in site.pieces:
        yield piece.path, "site/piece.html", _of_piece(site, piece, dyes)
    for facts in site.withdrawn:
        yield f"{facts.number}/", "site/withdrawn.html", {"facts": facts}
    yield "dyes/", "site/dyes.html", {"dyes": dyes}
    for dye in dyes:
        yield dye.path, "site/dye.html", {"dye": dye}
    fleeces = fleece_views(site.fleeces, listed)
    yield "fleeces/", "site/fleeces.html", {"fleeces": fleeces, "fleece_anchor": fleece_anchor}
    yield "where/", "site/where.html", {"outlets": outlets}
    yield "checking/", "site/checking.html", {}
    for words in site.words.values():
        path = "making" if words.name == "process" else words.name
        yield f"{path}/", "site/words.html", {"words": words, "body": to_html(words.text)}
    yield "404.html", "site/not_found.html", {}


def _front(listed: Sequence[ShownPiece]) -> ShownPiece | None:
    """The piece the home page opens with: the newest that can be bought, else the newest; one with
    a picture, if any has one."""
    shown = [piece for piece in listed if piece.lead] or listed
    return next((piece for piece in shown if piece.is_for_sale), shown[0] if shown else None)


def _of_piece(site: Site, piece: ShownPiece, dyes: Sequence[DyeView]) -> dict[str, Any]:
    """What a piece's page is filled with; a piece outside the lists has none beside it."""
    listed = [None, *site.listed, None]
    place = listed.index(piece) if piece.is_listed else None
    return {
        "piece": piece,
        "facts": piece.facts,
        "story": to_html(piece.facts.story) if piece.facts.story else "",
        "dyes": [dye for dye in dyes if dye.of.name in piece.facts.dye_names],
        "newer": listed[place - 1] if place else None,
        "older": listed[place + 1] if place else None,
        "structured": structured(site.studio, piece),
        "exports": exports_of(site.studio),
        "description": _description(piece),
    }


def _description(piece: ShownPiece) -> str:
    facts = piece.facts
    said = [
        f"{facts.kind_word}, {facts.year}",
        facts.size_cm,
        facts.fibres,
        facts.recalled,
        facts.dyes,
    ]
    start = ". ".join(part for part in said if part) + "."
    story = to_plain(facts.story) if facts.story else ""
    return f"{start} {story}"[:300].rsplit(" ", 1)[0] if story else start


def _intro(site: Site) -> str:
    """The first paragraph of the about page, for the foot of the home page."""
    about = site.words.get("about")
    first = about.text.split("\n\n")[0] if about else ""
    return site.studio.about or to_plain(first)


def _page(site: Site, address: str, template: str, context: Mapping[str, Any]) -> str:
    shared = {
        "studio": site.studio,
        "phrases": site.studio.phrases,
        "say": site.studio.phrases.say,
        "root": "../" * address.count("/"),
        "address": address,
        "canonical": f"{site.studio.site}/{address}" if site.studio.site else "",
        "pieces": site.listed,
        "extra_words": [w for w in site.words.values() if w.name not in KNOWN_WORDS],
        "known_words": [name for name in KNOWN_WORDS if name in site.words],
        "piece": None,
        "edge_style": edge_style,
    }
    return render(template, {**shared, **context}, site.studio.templates)
