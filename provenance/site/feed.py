"""The Atom feed (RFC 4287), the sitemap (sitemaps.org protocol 0.9) and robots.txt (RFC 9309).

In: the pieces listed, the shows and the addresses of the site. Out: bytes. Dates are the days
pieces were finished (the last of the year where no more is known) and shows became news
(`ShowView.announced`), so that the same records give the same feed. An entry is named by the
permanent address of its piece or show.
"""

import re
from collections.abc import Iterator, Sequence
from datetime import date
from html import escape as to_markup

from provenance.press.markup import to_plain
from provenance.public.studio import PublicStudio
from provenance.site.shown import ShownPiece
from provenance.site.shows import ShowView

MOST_ENTRIES = 30
NO_SITE = "https://studio.invalid"  # RFC 2606: a name that leads nowhere; Atom wants an address
_OF_A_PIECE = re.compile(r"[0-9-]+/")


def feed(
    studio: PublicStudio, pieces: Sequence[ShownPiece], shows: Sequence[ShowView] = ()
) -> bytes:
    """The newest work and the shows as an Atom feed, newest first; a studio without a site has an
    empty address in it."""
    dated = [piece for piece in pieces if piece.card.by][:MOST_ENTRIES]
    base = studio.site or NO_SITE
    news = [(_moment(piece.card.by), _entry(studio, piece, base)) for piece in dated]
    told = [(_moment(v.changed), _of_show(studio, v, base)) for v in shows if v.changed]
    news = sorted([*told, *news], key=lambda each: each[0], reverse=True)[:MOST_ENTRIES]
    updated = next((moment for moment, _ in news), "1970-01-01T00:00:00Z")
    entries = "".join(entry for _, entry in news)
    language = _quoted(studio.phrases.language)
    return (
        '<?xml version="1.0" encoding="utf-8"?>\n'
        f'<feed xmlns="http://www.w3.org/2005/Atom" xml:lang={language}>\n'
        f"<title>{_escaped(studio.name)}</title>\n<id>{_escaped(base)}/</id>\n"
        f"<link href={_quoted(base + '/')}/>\n"
        f'<link rel="self" type="application/atom+xml" href={_quoted(base + "/feed.xml")}/>\n'
        f"<updated>{updated}</updated>\n<author><name>{_escaped(studio.maker)}</name></author>\n"
        f"<rights>© {_escaped(studio.maker)}</rights>\n"
        f"{entries}</feed>\n"
    ).encode()


def _entry(studio: PublicStudio, piece: ShownPiece, base: str) -> str:
    facts = piece.facts
    address = f"{base}/{piece.path}"
    set_of = f" {facts.set_line}." if facts.set_line and facts.left else ""
    what = ", ".join(filter(None, (facts.kind_word, facts.size)))
    said = f"{what}.{set_of} {to_plain(facts.story)}"
    return (
        f"<entry><title>{_escaped(f'{facts.number} {facts.title}')}</title>"
        f"<id>{_escaped(address)}</id><link href={_quoted(address)}/>"
        f"<published>{_moment(facts.by)}</published>"
        f"<updated>{_moment(facts.by)}</updated>"
        f"<category term={_quoted(facts.kind_word)}/>"
        f"<summary>{_escaped(said)}</summary>"
        f'<content type="html">{_escaped(_content(piece, base, said))}</content></entry>\n'
    )


def _of_show(studio: PublicStudio, view: ShowView, base: str) -> str:
    """A show becomes news when it is announced, and once more on its first day."""
    show, say = view.of, studio.phrases.say
    address = f"{base}/{show.path}"
    opening = f"{say('on_view.opening')}: {show.opening}" if show.opening else ""
    told = (show.where, say("on_view.before", days=show.days), opening)
    said = f"{'. '.join(filter(None, told))}. {to_plain(show.words)}".strip()
    title = f"{say('on_view.one')}: {show.title}"
    return (
        f"<entry><title>{_escaped(title)}</title>"
        f"<id>{_escaped(address)}</id><link href={_quoted(address)}/>"
        f"<published>{_moment(view.announced)}</published>"
        f"<updated>{_moment(view.changed)}</updated>"
        f"<category term={_quoted(say('on_view.one'))}/>"
        f"<summary>{_escaped(said)}</summary>"
        f'<content type="html">{_escaped(_content(view.lead, base, said))}</content></entry>\n'
    )


def _content(piece: ShownPiece | None, base: str, said: str) -> str:
    """The picture and the words, as HTML: readers show it as it is."""
    words = f"<p>{to_markup(said)}</p>"
    if piece is None or piece.lead is None:
        return words
    picture = piece.lead.of("jpeg")[0]
    alt = to_markup(piece.lead.alt)
    source = to_markup(f"{base}/{picture.path}")
    size = f'width="{picture.width}" height="{picture.height}"'
    return f'<p><img src="{source}" alt="{alt}" {size}></p>{words}'


def _moment(day: date | None) -> str:
    return f"{day.isoformat()}T12:00:00Z" if day else ""


def sitemap(studio: PublicStudio, paths: Sequence[str], listed: Sequence[ShownPiece]) -> bytes:
    """The address of every page that is for everybody: no drafts, nothing withdrawn, no 404.

    A piece's page has the day it was finished; lists, the day of the newest piece. Empty without a
    site address.
    """
    places = "".join(_places(studio, paths, listed)) if studio.site else ""
    return (
        '<?xml version="1.0" encoding="utf-8"?>\n'
        f'<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">\n{places}</urlset>\n'
    ).encode()


def _places(
    studio: PublicStudio, paths: Sequence[str], listed: Sequence[ShownPiece]
) -> Iterator[str]:
    finished = {piece.path: piece.card.day for piece in listed}
    newest = max((day for day in finished.values() if day), default=None)
    for path in paths:
        page = path.removesuffix("index.html")
        if page == path or (_OF_A_PIECE.fullmatch(page) and page not in finished):
            continue
        is_list = page in ("", "work/")
        day = newest if is_list else finished.get(page)
        changed = f"<lastmod>{day.isoformat()}</lastmod>" if day else ""
        yield f"<url><loc>{_escaped(f'{studio.site}/{page}')}</loc>{changed}</url>\n"


def robots(studio: PublicStudio) -> bytes:
    """Everything may be read."""
    where = f"Sitemap: {studio.site}/sitemap.xml\n" if studio.site else ""
    return f"User-agent: *\nAllow: /\n{where}".encode()


def _escaped(text: str) -> str:
    """Text between tags."""
    return to_markup(text, quote=False)


def _quoted(text: str) -> str:
    """An attribute's value with its quotes."""
    return f'"{to_markup(text)}"'
