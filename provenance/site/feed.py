"""The Atom feed (RFC 4287), the sitemap (sitemaps.org protocol) and robots.txt.

In: the pieces listed and the addresses of the site. Out: bytes. Dates are the days pieces were
finished, so that the same records give the same feed.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape, quoteattr

from provenance.documents.setting import Setting
from provenance.documents.words import to_plain
from provenance.site.shown import ShownPiece

if TYPE_CHECKING:
    from provenance.site.pages import SiteStudio

MOST_ENTRIES = 30


def feed(setting: Setting, studio: SiteStudio, pieces: Sequence[ShownPiece]) -> bytes:
    """The newest work as an Atom feed; a studio without a site has an empty address in it."""
    dated = [piece for piece in pieces if piece.finished][:MOST_ENTRIES]
    base = studio.site or "https://studio.invalid"
    updated = max((_moment(piece.finished) for piece in dated), default="1970-01-01T00:00:00Z")
    entries = "".join(_entry(studio, piece, base) for piece in dated)
    return (
        '<?xml version="1.0" encoding="utf-8"?>\n'
        f'<feed xmlns="http://www.w3.org/2005/Atom" xml:lang="{escape(studio.language)}">\n'
        f"<title>{escape(studio.name)}</title>\n<id>{escape(base)}/</id>\n"
        f"<link href={quoteattr(base + '/')}/>\n"
        f'<link rel="self" href={quoteattr(base + "/feed.xml")}/>\n'
        f"<updated>{updated}</updated>\n<author><name>{escape(studio.maker)}</name></author>\n"
        f"{entries}</feed>\n"
    ).encode()


def _entry(studio: SiteStudio, piece: ShownPiece, base: str) -> str:
    facts = piece.facts
    address = f"{base}/{piece.path}"
    said = f"{facts.kind_word}, {facts.size}. {to_plain(facts.story)}"
    return (
        f"<entry><title>{escape(f'{facts.number} {facts.title}')}</title>"
        f"<id>{escape(address)}</id><link href={quoteattr(address)}/>"
        f"<updated>{_moment(piece.finished)}</updated>"
        f"<summary>{escape(said)}</summary></entry>\n"
    )


def _moment(day: date | None) -> str:
    return f"{day.isoformat()}T12:00:00Z" if day else ""


def sitemap(studio: SiteStudio, paths: Sequence[str]) -> bytes:
    """Every page's address; empty without a site address."""
    pages = [p.removesuffix("index.html") for p in paths if p.endswith("index.html")]
    places = "".join(
        f"<url><loc>{escape(f'{studio.site}/{page}')}</loc></url>\n"
        for page in pages
        if studio.site
    )
    return (
        '<?xml version="1.0" encoding="utf-8"?>\n'
        f'<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">\n{places}</urlset>\n'
    ).encode()


def robots(studio: SiteStudio) -> bytes:
    """Everything may be read."""
    where = f"Sitemap: {studio.site}/sitemap.xml\n" if studio.site else ""
    return f"User-agent: *\nAllow: /\n{where}".encode()
