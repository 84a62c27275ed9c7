"""Every page of the site: what it comes from, and how it is made.

In: public facts, the pieces shown, the maker's words. Out: `Page`s, each with all that decides its
bytes, so that a page that comes from the same as before need not be made again: HTML from
templates, the stylesheet, letters, feed and sitemap. Each page gets the way back to the root, so
that the folder opens from disk.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields
from functools import cached_property, partial
from typing import Any

from provenance.digest import digest_of
from provenance.press.markup import to_html, to_plain
from provenance.press.templates import own_texts, render
from provenance.public.outlet import PublicOutlet
from provenance.public.piece import PublicPiece
from provenance.public.shapes import PublicWords
from provenance.public.shelves import PublicDye, PublicFleece
from provenance.public.studio import PublicStudio
from provenance.site.exports import export_file, exports_of
from provenance.site.feed import MOST_ENTRIES, feed, robots, sitemap
from provenance.site.glass import glass
from provenance.site.lists import listings
from provenance.site.places import DyeView, dye_views, fleece_anchor, fleece_views, outlet_views
from provenance.site.rows import Once, Rows
from provenance.site.shown import IN_AN_EDGE, ShownPiece, age, edge_style
from provenance.site.structured import structured, studio_structured
from provenance.site.style import script, style

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
    own_words: Mapping[str, str] = field(default_factory=dict)
    once: Once = lambda name, key, work: work()

    @cached_property
    def listed(self) -> list[ShownPiece]:
        """Pieces in the lists, newest first; the others are reached by their address alone."""
        listed = (piece for piece in self.pieces if piece.is_listed)
        return sorted(listed, key=age, reverse=True)

    @cached_property
    def edge(self) -> tuple[str, ...]:
        """What the edge of a page that is about no one piece comes from."""
        return stamps(self.listed[:IN_AN_EDGE])

    @cached_property
    def dye_views(self) -> tuple[DyeView, ...]:
        """Every dyestuff that was used, with the listed pieces that carry it."""
        return dye_views(self.dyes, self.listed)

    @cached_property
    def dye_stamps(self) -> Mapping[str, str]:
        """What is told of each dye, by its name, in short; with its place among the dyes."""
        return {dye.of.name: digest_of(n, dye.of) for n, dye in enumerate(self.dye_views)}

    @cached_property
    def rows(self) -> Rows:
        """The row of each piece in lists."""
        return Rows(self.studio, digest_of(*self.frame), self.once)

    @cached_property
    def places(self) -> Mapping[str, int]:
        """The place of each listed piece in the lists, by its number."""
        return {piece.card.number: place for place, piece in enumerate(self.listed)}

    @cached_property
    def frame(self) -> tuple[Any, ...]:
        """What every page comes from: the studio, the words in its menus, its own templates.

        An own template may use all that pages are given; the day counts only where one tells it.
        """
        own = own_texts(self.studio.templates)
        tells_day = any(b"today" in text for text in own.values())
        phrases = self.studio.phrases
        told = {each.name: getattr(self.studio, each.name) for each in fields(self.studio)}
        told["phrases"] = (phrases.language, phrases.currency, phrases.decimal_comma)
        studio = told if tells_day else {**told, "today": ""}
        menus = tuple((each.name, each.title) for each in self.words.values())
        pieces = stamps(self.listed) if own else ()
        return studio, self.own_words, menus, own, pieces


@dataclass(frozen=True, slots=True)
class Page:
    """A file of the site: its path, all that its bytes come from, and how they are made."""

    name: str
    comes_from: tuple[Any, ...]
    make: Callable[[], bytes]


def stamps(pieces: Sequence[ShownPiece]) -> tuple[str, ...]:
    """What is shown of some pieces comes from."""
    return tuple(piece.stamp for piece in pieces)


def site_files(site: Site) -> dict[str, bytes]:
    """The whole site but its pictures."""
    return {page.name: page.make() for page in site_pages(site)}


def site_pages(site: Site) -> Iterator[Page]:
    """Every file of the site but its pictures; the sitemap comes last."""
    names = []
    for page in (*_html_pages(site), *_beside_pieces(site), *_loose_files(site)):
        names.append(page.name)
        yield page
    paths = sorted(names)
    listed = tuple((each.path, each.card.day) for each in site.listed)
    make = partial(sitemap, site.studio, paths, site.listed)
    yield Page("sitemap.xml", (site.studio.site, paths, listed), make)


def _beside_pieces(site: Site) -> Iterator[Page]:
    """What programs read beside each piece's page: its facts, a museum record, its making."""
    for piece in site.pieces:
        for export in exports_of(site.studio):
            make = partial(export_file, site.studio, piece, export)
            yield Page(f"{piece.path}{export.name}", (piece.stamp,), make)


def _loose_files(site: Site) -> Iterator[Page]:
    """Style, letters, feed and what hosts look for."""
    look = {"site.css": style(site.studio.templates), "site.js": script(site.studio.templates)}
    named = f"{site.studio.name}\n{site.studio.site}\n".encode()
    own = {**look, "robots.txt": robots(site.studio), ".nojekyll": b"", ".studio": named}
    own |= {f"letters/{name}": content for name, content in site.letters.items()}
    for name, content in own.items():
        yield Page(name, (content,), partial(bytes, content))
    dated = [piece for piece in site.listed if piece.card.by][:MOST_ENTRIES]
    yield Page("feed.xml", stamps(dated), partial(feed, site.studio, dated))


def _html_pages(site: Site) -> Iterator[Page]:
    """Every page that people read."""
    for address, template, comes_from, context in _pages(site):
        name = address if address.endswith(".html") else f"{address}index.html"
        make = partial(_page, site, address, template, context)
        yield Page(name, (address, *comes_from), make)


Given = Mapping[str, Any]
Asked = tuple[str, str, tuple[Any, ...], Callable[[], Given]]


def _pages(site: Site) -> Iterator[Asked]:
    """Address, template, what it comes from, and the values of each page when it is made."""
    yield from _lists_of_work(site)
    newest = site.listed[0].pictures if site.listed else ()
    for piece in site.pieces:
        beside = _beside(site, piece)
        turns = tuple(
            (each.path, each.card.number, each.card.title) if each else "" for each in beside
        )
        dyes = tuple(site.dye_stamps.get(name) for name in piece.card.dye_names)
        shared = () if piece.pictures else newest
        comes_from = (piece.stamp, turns, dyes, shared)
        yield piece.path, "site/piece.html", comes_from, partial(_of_piece, site, piece)
    yield from _plain_pages(site)


def _lists_of_work(site: Site) -> Iterator[Asked]:
    """The home page, the lists, dyes, fleeces and outlets: pages with many pieces on them."""
    edge = site.edge
    outlets = outlet_views(site.outlets, site.listed, site.studio.today)
    seen = tuple((each.of, stamps(each.pieces)) for each in outlets)
    front = _front(site.listed)
    home = {"outlets": outlets, "intro": _intro(site), "front": front,
            "structured": studio_structured(site.studio)}  # fmt: skip
    opens = front.stamp if front else ""
    yield "", "site/home.html", (edge, seen, _intro(site), opens), lambda: home
    lists = listings(site.studio.phrases, site.listed, site.dye_views)
    ways = tuple((each.group, each.name, each.path) for each in lists)
    for each in lists:
        given = {"listing": each, "lists": lists}
        shown = (ways, each.name, stamps(each.pieces), edge)
        yield each.path, "site/work.html", shown, partial(dict, given)
    dyes = tuple((dye.of, len(dye.pieces)) for dye in site.dye_views)
    yield "dyes/", "site/dyes.html", (edge, dyes), partial(dict, {"dyes": site.dye_views})
    for dye in site.dye_views:
        yield dye.path, "site/dye.html", (edge, dye.of, stamps(dye.pieces)), partial(dict, dye=dye)
    fleeces = fleece_views(site.fleeces, site.listed)
    given = {"fleeces": fleeces, "fleece_anchor": fleece_anchor}
    became = tuple((each.of, stamps(each.pieces)) for each in fleeces)
    yield "fleeces/", "site/fleeces.html", (edge, became), partial(dict, given)
    yield "where/", "site/where.html", (edge, seen), partial(dict, {"outlets": outlets})


def _plain_pages(site: Site) -> Iterator[Asked]:
    """Pages of words alone."""
    edge = site.edge
    for facts in site.withdrawn:
        shown = (edge, facts.number, facts.title)
        yield f"{facts.number}/", "site/withdrawn.html", shown, partial(dict, facts=facts)
    yield "checking/", "site/checking.html", (edge,), dict
    for words in site.words.values():
        path = "making" if words.name == "process" else words.name
        yield f"{path}/", "site/words.html", (edge, words), partial(_of_words, words)
    yield "404.html", "site/not_found.html", (edge,), dict


def _of_words(words: PublicWords) -> Given:
    return {"words": words, "body": to_html(words.text)}


def _front(listed: Sequence[ShownPiece]) -> ShownPiece | None:
    """The piece the home page opens with: the newest that can be bought, else the newest; one with
    a picture, if any has one."""
    shown = [piece for piece in listed if piece.lead] or listed
    return next((piece for piece in shown if piece.is_for_sale), shown[0] if shown else None)


def _beside(site: Site, piece: ShownPiece) -> tuple[ShownPiece | None, ShownPiece | None]:
    """The next newer and older piece; a piece outside the lists has none beside it."""
    place = site.places.get(piece.card.number)
    if place is None:
        return None, None
    newer, older = site.listed[:place][-1:], site.listed[place + 1 : place + 2]
    return next(iter(newer), None), next(iter(older), None)


def _of_piece(site: Site, piece: ShownPiece) -> Given:
    """What a piece's page is filled with."""
    facts = piece.facts
    newer, older = _beside(site, piece)
    return {
        "piece": piece,
        "facts": facts,
        "story": to_html(facts.story) if facts.story else "",
        "dyes": [dye for dye in site.dye_views if dye.of.name in facts.dye_names],
        "newer": newer,
        "older": older,
        "structured": structured(site.studio, piece),
        "glass_data": glass(piece, site.studio.phrases),
        "exports": exports_of(site.studio),
        "description": _description(facts),
    }


def _description(facts: PublicPiece) -> str:
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


def _page(site: Site, address: str, template: str, given: Callable[[], Given]) -> bytes:
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
        "row": site.rows.under("../" * address.count("/")),
    }
    return render(template, {**shared, **given()}, site.studio.templates).encode()
