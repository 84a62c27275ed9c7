"""The picture shown where a page is passed on, and the site's own small mark.

In: a public picture of a piece, its edge, its words. Out: a landscape JPEG (1200 x 630 pixels, as
the Open Graph protocol's readers cut nothing off), with the work uncropped, the edge down its left
side, number and title set as on the page; and a square PNG of an edge. One encoding each.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from provenance.press.letters.faces import SANS, SERIF, face_file, upright_face
from provenance.press.letters.fonts import missing_characters, printable
from provenance.press.pictures.ladder import saved
from provenance.public.edge import Stripe

if TYPE_CHECKING:
    from PIL.Image import Image
    from PIL.ImageFont import FreeTypeFont

WIDE, HIGH = 1200, 630
_EDGE, _MOST, _GAP = 36, 640, 56  # pixels: the edge, the photo at its widest, the room around words
_TOP = 148  # pixels, where the title begins
INK = "#1d1a16"
_PAPER, _SOFT = "#ffffff", "#655e55"
_TITLES = (76, 60, 46, 34)  # pixels, the largest that takes three lines at most


@dataclass(frozen=True, slots=True)
class Passed:
    """What a piece is passed on with: the words of its plate, and its edge."""

    number: str
    title: str
    kind: str
    studio: str
    stripes: tuple[Stripe, ...]


def share_picture(photo: bytes, piece: Passed, xmp: bytes) -> bytes:
    """The JPEG for a piece, from one of its public pictures."""
    from PIL import Image

    sheet = Image.new("RGB", (WIDE, HIGH), _PAPER)
    with Image.open(io.BytesIO(photo), formats=["JPEG"]) as work:
        work.draft("RGB", (_MOST, HIGH))
        share = min(_MOST / work.width, HIGH / work.height)
        size = round(work.width * share), round(work.height * share)
        shown = work.convert("RGB").resize(size, Image.Resampling.BICUBIC, reducing_gap=2.0)
    sheet.paste(shown, (_EDGE, (HIGH - shown.height) // 2))
    _draw_edge(sheet, piece.stripes, _EDGE)
    _set_words(sheet, piece, _EDGE + shown.width + _GAP)
    return saved(sheet, "JPEG", quality=82, xmp=xmp)


def mark_picture(stripes: Sequence[Stripe], side: int) -> bytes:
    """An edge as a square PNG, for the tabs and the home screens of readers."""
    from PIL import Image

    square = Image.new("RGB", (side, side), INK)
    _draw_edge(square, stripes, side)
    return saved(square, "PNG", optimize=True)


def _draw_edge(sheet: Image, stripes: Sequence[Stripe], wide: int) -> None:
    for stripe in stripes:
        top, foot = (round(float(share) * sheet.height) for share in (stripe.start, stripe.end))
        sheet.paste(stripe.colour, (0, top, wide, foot))


def _set_words(sheet: Image, piece: Passed, left: int) -> None:
    from PIL import ImageDraw

    pen, room = ImageDraw.Draw(sheet), WIDE - _GAP - left
    pen.text((left, 40), _held(piece.number), INK, _font(SANS, 300, 76))
    size, lines = _fitted(_held(piece.title), room)
    for turn, line in enumerate(lines):
        place = (left, _TOP + turn * size * 1.18)
        pen.text(place, line, INK, _font(SERIF, 400, size))
    below = _TOP + len(lines) * size * 1.18 + 14
    pen.text((left, below), _held(piece.kind), _SOFT, _font(SANS, 400, 30))
    pen.text((left, HIGH - 80), _held(piece.studio), INK, _font(SANS, 600, 30))


def _fitted(title: str, room: int) -> tuple[int, list[str]]:
    """The title in lines at the largest size that holds it; what is longer is cut at three."""
    for size in _TITLES:
        font, lines = _font(SERIF, 400, size), [""]
        for word in title.split():
            longer = f"{lines[-1]} {word}".strip()
            if font.getlength(longer) <= room or not lines[-1]:
                lines[-1] = longer
            else:
                lines.append(word)
        if len(lines) <= 3 and all(font.getlength(line) <= room for line in lines):
            break
    return size, lines[:3]


def _held(text: str) -> str:
    """The text without signs that the letters do not hold."""
    told = printable(text)
    strange = missing_characters(told)
    return "".join(sign for sign in told if sign not in strange)


@lru_cache(maxsize=16)
def _font(family: str, weight: int, size: int) -> FreeTypeFont:
    from PIL import ImageFont

    content = io.BytesIO(face_file(upright_face(family, weight)))
    return ImageFont.truetype(content, size, layout_engine=ImageFont.Layout.BASIC)
