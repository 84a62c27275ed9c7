"""The stall in the pocket: one file that a phone opens without a network.

In: what hangs at an outlet, what is told of each piece across the stall, letters. Out: `stall.html`
with its photos, style and script inside. Its policy lets it ask for nothing: style and script are
named by their digests (Content Security Policy Level 3, 2.3.1), pictures and letters are data.
What it notes stays on the phone; it goes home as lines (templates/stall/lines.js) for `sell
--from`.
"""

import base64
import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import partial

from provenance.papers.sheets.fair import tax_note
from provenance.papers.sheets.frame import Display, Paper, price_of
from provenance.press.letters.fonts import css_inside
from provenance.press.markup import as_markup
from provenance.press.pictures.photos import for_phone, open_photo
from provenance.press.templates import render, source
from provenance.problems import Slip
from provenance.public.piece import PublicPiece
from provenance.public.stall import Offered
from provenance.reference.currencies import minor_unit

SCRIPTS = ("lines.js", "code.js", "state.js", "page.js")
WAYS = ("card", "cash", "other")
LETTERS = tuple(
    f"studio-{face}-near.woff2" for face in ("sans-300", "sans-400", "sans-600", "serif-400")
)
_LONGER, _MOST = 640, 50_000  # pixels, bytes: 60 photos are 4 MB at most, as text in a page
_WORDS = (
    "sold", "kept", "kept_until", "left", "found", "no_price", "past", "freed", "sold_by", "today",
    "in_all", "put_back", "take_back", "taken_back", "code", "copy",
    "copied", "clear_sure",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Photo:
    address: str
    width: int
    height: int
    alt: str


def stall(
    display: Display, offered: Mapping[str, Offered], deposit: str, letters: Mapping[str, bytes]
) -> Paper:
    """The file for a phone; photos that can't be shown are told among the slips of the display."""
    templates = display.studio.templates
    sheet = source("stall/stall.css", templates).decode()
    style = f"{css_inside(letters)}\n{sheet}"
    script = "\n".join(source(f"stall/{name}", templates).decode() for name in SCRIPTS)
    page = {
        "language": display.phrases.language,
        "policy": _policy(style, script),
        "style": as_markup(style),
        "script": as_markup(script),
        "data": as_markup(_data(display, offered)),
        "studio": display.studio,
        "outlet": display.outlet,
        "pieces": display.pieces,
        "photos": {each.number: _photo(display, each) for each in display.pieces},
        "facts": partial(_facts, display),
        "offered": offered,
        "deposit": deposit,
        "ways": WAYS,
        "say": partial(_say, display),
    }
    content = render("stall/stall.html", page, templates).encode()
    return Paper("stall.html", content, _say(display, "name"))


def _say(display: Display, name: str) -> str:
    return display.phrases.say(f"stall.{name}")


def _policy(style: str, script: str) -> str:
    return (
        f"default-src 'none'; img-src data:; font-src data:; style-src {_hash(style)}; "
        f"script-src {_hash(script)}; base-uri 'none'; form-action 'none'"
    )


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def _facts(display: Display, piece: PublicPiece) -> Iterator[tuple[str, str | tuple[str, ...]]]:
    """What a buyer asks, in the order they ask it; what is not recorded has no line."""
    label = display.phrases.words
    told = {
        "fibres": piece.content.labels or piece.recalled,
        "weight": piece.weight,
        "care": piece.short_care or piece.care,
        "tax": piece.price_note and tax_note(display),
    }
    for name, words in told.items():
        if words:
            yield label[f"stall.{name}"], words


def _photo(display: Display, piece: PublicPiece) -> _Photo | None:
    """The whole view, else the first; None where there is none that can be read."""
    photos = sorted(piece.photos, key=lambda each: each.view != "whole")
    if not photos:
        return None
    try:
        opened = open_photo(display.studio.folder, photos[0].path)
        made = for_phone(opened, _LONGER, _MOST)
    except Slip as slip:
        display.slips.append((piece.number, photos[0].file, slip))
        return None
    address = f"data:image/{made.format};base64,{base64.b64encode(made.content).decode()}"
    return _Photo(address, made.width, made.height, photos[0].alt or piece.title)


def _data(display: Display, offered: Mapping[str, Offered]) -> str:
    """What the script reckons with; signs that could end the element are written as numbers."""
    studio, phrases = display.studio, display.phrases
    decimals = minor_unit(studio.currency)
    told = {
        "studio": studio.name,
        "outlet": display.outlet.name,
        "file": f"stall-{display.outlet.name}".replace(" ", "-"),
        "language": phrases.language,
        "currency": studio.currency,
        "decimals": decimals,
        "comma": phrases.has_comma,
        "ways": WAYS,
        "words": {name: _say(display, name) for name in _WORDS} | _ways(display),
        "pieces": [_reckoned(display, each, offered[each.number]) for each in display.pieces],
    }
    return json.dumps(told, ensure_ascii=False).replace("<", "\\u003c")


def _ways(display: Display) -> dict[str, str]:
    """Ways of payment as they stand within a sentence."""
    return {way: display.phrases.inside(_say(display, way)) for way in WAYS}


def _reckoned(display: Display, piece: PublicPiece, told: Offered) -> dict[str, object]:
    coins = price_of(piece) * 10 ** minor_unit(display.studio.currency)
    until = told.until.isoformat() if told.until else ""
    return {
        "number": piece.number,
        "price": int(coins),
        "made": piece.made,
        "left": display.number(piece),
        "until": until if piece.state == "reserved" else None,
        "sold": {day.isoformat(): items for day, items in told.sold.items()},
    }
