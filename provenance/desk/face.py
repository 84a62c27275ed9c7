"""The face of the desk: its pages, style, scripts and letters, as texts and files.

In: what the desk tells of itself, its phrases, and the plain dicts of one room. Out: HTML, and
the files below `/face/`. What each template is handed:

- `at` (the desk of one record file): `read`, the answer of `/read/PATH`; it may hold `edge`
  (`edge_of`) and `photos`, [{"path", "alt", "href"}]. A problem may hold `instead`: what would be
  right at its signs, which the editor then offers to put there.
- `today`, and the lists `pieces`, `dyebook`, `shelf`, `commissions`, `shows`, `studio`: what
  `hands.seen` gives; an item may hold `edge`.

The policy a page is served with must have `font-src 'self'` beside `style-src` and `script-src`.
A data block of a page (`application/json`) is no script: no policy stops it, and nothing runs it.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from provenance.build.letters import site_letters
from provenance.figures.flow.strands import edge_of as strands_edge
from provenance.language.phrases import Phrases
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.letters.fonts import site_font_css, site_font_names
from provenance.press.markup import as_markup
from provenance.press.templates import render, source
from provenance.problems import Slip
from provenance.public.edge import Stripe, stripes_of
from provenance.studio import Studio

ROOMS = ("today", "pieces", "dyebook", "shelf", "commissions", "shows", "studio")
SCRIPTS = ("words.js", "changes.js", "at.js", "photos.js", "rooms.js", "editor.js")
_KINDS = {"css": "text/css", "js": "text/javascript", "svg": "image/svg+xml", "woff2": "font/woff2"}


def frame(told: Mapping[str, Any], phrases: Phrases, edge: Sequence[Stripe] = ()) -> dict[str, Any]:
    """What every template of the desk is handed: `desk` (as it tells of itself), `say`, and one
    data block for its scripts."""
    return {
        "desk": told,
        "say": phrases.say,
        "rooms": {room: phrases.say(f"desk_face.{room}") for room in ROOMS},
        "edge": edge_of(edge),
        "as_data": as_data,
        "for_scripts": as_data(_for_scripts(told, phrases)),
    }


def page(room: str, framed: Mapping[str, Any], values: Mapping[str, Any]) -> str:
    """The page of a room as HTML: `today`, a list, or `at` for a record file."""
    template = room if room in ("today", "at") else "list"
    return render(f"desk/{template}.html", {**framed, "room": room, **values}, None)


def edge_of_piece(studio: Studio, number: str) -> list[dict[str, Any]]:
    """A piece's yarns as an edge; none where nobody can tell them yet."""
    try:
        piece, strands = studio.book.pieces[number], studio.piece(number).strands
    except (Slip, KeyError):
        return []
    return edge_of(stripes_of(strands_edge(studio.book, piece, studio.swatches, strands)))


def edge_of(stripes: Sequence[Stripe]) -> list[dict[str, Any]]:
    """An edge for templates and scripts: a colour, where it begins and its share, in hundredths."""
    return [
        {
            "colour": stripe.colour,
            "start": round(float(stripe.start) * 100, 3),
            "share": round(float(stripe.share) * 100, 3),
        }
        for stripe in stripes
    ]


def as_data(values: Any) -> Any:
    """JSON inside a page: no sign of it can end the block that it stands in."""
    text = json.dumps(values, ensure_ascii=False, sort_keys=True)
    return as_markup(text.replace("<", "\\u003c").replace("\u2028", "\\u2028"))


def look(name: str, edge: Sequence[Stripe] = ()) -> tuple[bytes, str] | None:
    """A file below `/face/` and its content type; None where there is none of that name."""
    kind = _KINDS.get(name.rpartition(".")[2], "")
    content = _content(name, edge)
    return None if content is None else (content, kind)


def _content(name: str, edge: Sequence[Stripe]) -> bytes | None:
    if name == "desk.css":
        lie = {letter: f"letters/{letter}" for letter in site_font_names()}
        return site_font_css(lie).encode() + source("desk/desk.css", None)
    if name in SCRIPTS:
        return source(f"desk/{name}", None)
    if name == "mark.svg":
        return bar_svg(edge, 32, 32, upright=True)
    folder, _, face = name.rpartition("/")
    return site_letters().get(face) if folder == "letters" else None


def _for_scripts(told: Mapping[str, Any], phrases: Phrases) -> dict[str, Any]:
    """The desk's phrases, which scripts fill in themselves, and what they may do."""
    own = "desk_face."
    return {
        "language": phrases.language,
        "only_look": told["only_look"],
        "phrases": {
            name.removeprefix(own): text
            for name, text in phrases.words.items()
            if name.startswith(own)
        },
    }
