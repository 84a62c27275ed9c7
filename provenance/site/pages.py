"""Every page of the site: what it comes from, and how it is made.

In: public facts, the pieces shown, the maker's words. Out: `Page`s, each with all that decides its
bytes, so that a page that comes from the same as before need not be made again: HTML from
templates, the stylesheet, letters, feed and sitemap. Each page gets the way back to the root, so
that the folder opens from disk.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from itertools import starmap
from typing import Any

from provenance.press.markup import shortened, to_html, to_plain
from provenance.press.templates import render
from provenance.public.piece import PublicPiece
from provenance.site import guide
from provenance.site.checking import checking, checking_script
from provenance.site.exports import export_file, exports_of
from provenance.site.feed import MOST_ENTRIES, feed, robots, sitemap
from provenance.site.glass import glass
from provenance.site.list_pages import pages_of_lists
from provenance.site.mark import mark_file
from provenance.site.places import anchor, been, whereabouts
from provenance.site.scale import how_large, outlines
from provenance.site.sealed import IssueShown
from provenance.site.shown import ShownPiece, edge_style, shown_piece
from provenance.site.structured import structured
from provenance.site.style import lost_page
from provenance.site.wall import hung
from provenance.site.whole import Asked, Given, Site, stamps
from provenance.site.words import beside_words, of_words

KNOWN_WORDS = ("about", "process", "care")


@dataclass(frozen=True, slots=True)
class Page:
    """A file of the site: its path, all that its bytes come from, and how they are made."""

    name: str
    comes_from: tuple[Any, ...]
    make: Callable[[], bytes]


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


def piece_page(site: Site, piece: ShownPiece) -> bytes:
    """The page of one piece alone, just as it is among the others."""
    return _page(site, piece.path, "site/piece.html", partial(_of_piece, site, piece))


def _beside_pieces(site: Site) -> Iterator[Page]:
    """What programs read beside each piece's page: its facts, a museum record, its making."""
    for piece in site.pieces:
        comes_from = (piece.stamp,)
        for export in exports_of(site.studio):
            make = partial(export_file, site.studio, piece, export)
            yield Page(f"{piece.path}{export.name}", comes_from, make)
    yield from starmap(Page, outlines(site.studio, site.pieces))


def _loose_files(site: Site) -> Iterator[Page]:
    """Style, letters, feed and what hosts look for."""
    named = f"{site.studio.name}\n{site.studio.site}\n".encode()
    newest = next(iter(site.listed), None)
    yield from (
        Page(name, (site.edge[:1],), partial(mark_file, newest, name))
        for name in ("mark.svg", "mark.png")
    )
    own = {"robots.txt": robots(site.studio), ".nojekyll": b"", ".studio": named}
    own |= site.look.files
    if site.trusted:
        own |= checking_script(site.studio.templates)
    if site.sealed:
        own[guide.TEXT] = site.sealed.guide.content
    for name, content in own.items():
        yield Page(name, (content,), partial(bytes, content))
    dated = [piece for piece in site.listed if piece.card.by][:MOST_ENTRIES]
    news = tuple(view.stamp for view in site.show_views)
    make = partial(feed, site.studio, dated, site.show_views)
    yield Page("feed.xml", (stamps(dated), news), make)


def _html_pages(site: Site) -> Iterator[Page]:
    """Every page that people read."""
    for address, template, comes_from, context in _pages(site):
        name = address if address.endswith(".html") else f"{address}index.html"
        make = partial(_page, site, address, template, context)
        yield Page(name, (address, *comes_from), make)


def _pages(site: Site) -> Iterator[Asked]:
    """Address, template, what it comes from, and the values of each page when it is made."""
    yield from pages_of_lists(site)
    for piece in site.pieces:
        beside = _beside(site, piece)
        turns = tuple(
            (each.path, each.card.number, each.card.title) if each else "" for each in beside
        )
        dyes = tuple(site.dye_stamps.get(name) for name in piece.card.dye_names)
        there = tuple(name for name in piece.card.outlets if name in site.outlets_told)
        shows = tuple(v.of.path for v in site.show_views if piece.card.number in v.of.numbers)
        comes_from = (piece.stamp, turns, dyes, there, shows, *_of_seal(site, piece))
        yield piece.path, "site/piece.html", comes_from, partial(_of_piece, site, piece)
    yield from _plain_pages(site)


def _of_seal(site: Site, piece: ShownPiece) -> tuple[Any, ...]:
    """What is told of its statement and its certificates."""
    told = site.sealed
    return (told.fingerprint, told.is_signed, _issues_of(site, piece)) if told else ()


def _issues_of(site: Site, piece: ShownPiece) -> tuple[IssueShown, ...]:
    """The issues of its certificate."""
    return site.sealed.issues.get(piece.card.number, ()) if site.sealed else ()


def _plain_pages(site: Site) -> Iterator[Asked]:
    """Pages of words alone."""
    edge = site.edge
    for facts in site.withdrawn:
        shown = shown_piece(facts, {})
        withdrawn = {"facts": facts, "piece": shown}
        yield f"{facts.number}/", "site/withdrawn.html", (shown.stamp,), partial(dict, withdrawn)
    given = partial(checking, site.trusted, site.studio)
    yield "checking/", "site/checking.html", (edge, site.trusted), given
    if site.sealed:
        how = site.sealed.guide
        yield guide.PAGE, "site/how_to_check.html", (edge, how.content), partial(dict, guide=how)
    for place, words in enumerate(site.words.values()):
        path = "making" if words.name == "process" else words.name
        cloth = beside_words(words, place, site.listed)
        stamp = (cloth[0].stamp, cloth[1]) if cloth else ()
        told = partial(of_words, words, cloth)
        yield f"{path}/", "site/words.html", (edge, words, stamp), told
    newest = next(iter(site.listed), None)
    lost = partial(lost_page, site.studio, site.letters, newest)
    yield "404.html", "site/not_found.html", (edge, tuple(site.letters)), lost


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
        "sealed": site.sealed,
        "issues": _issues_of(site, piece),
        "large": how_large(site.studio, piece),
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
    return shortened(f"{start} {story}") if story else start


def _page(site: Site, address: str, template: str, given: Callable[[], Given]) -> bytes:
    root = "../" * address.count("/")
    shared = {
        "studio": site.studio,
        "phrases": site.studio.phrases,
        "say": site.studio.phrases.say,
        "root": root,
        "look": site.look,
        "address": address,
        "canonical": f"{site.studio.site}/{address}" if site.studio.site else "",
        "pieces": site.listed,
        "cover": site.cover,
        "extra_words": [w for w in site.words.values() if w.name not in KNOWN_WORDS],
        "known_words": [name for name in KNOWN_WORDS if name in site.words],
        "piece": None,
        "edge_style": edge_style,
        "anchor": anchor,
        "hung": hung,
        "whereabouts": partial(whereabouts, there=site.outlets_told, root=root),
        "been": partial(been, shows=site.shows_told, root=root),
        "row": site.rows.under(root),
        "row_to_scale": site.rows_to_scale.under(root),
    }
    return render(template, {**shared, **given()}, site.studio.templates).encode()
