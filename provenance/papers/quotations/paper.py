"""The client's quotation on paper: what it costs and where to sign, the terms overleaf.

In: the public studio, what the client may read, the sheet. Out: the bytes of a PDF/A-3a and
PDF/UA-1. The sizes stand to scale beside something whose size everybody knows, above their prices,
each with a box to tick; the signature is on the same page, for whatever is signed must be in sight.
A drawing that would push it off the page gets smaller, and a very long letter goes overleaf.
Bands in the drawing tell how much of each colour there is; in black only they are hatched, as the
selvedge is.
"""

from collections.abc import Mapping
from itertools import product
from typing import Any

from provenance.papers.format import SELVEDGE_MM, Format
from provenance.press.codes.qr import Code
from provenance.press.drawings.scale.drawing import Drawing, ToScale, scale_drawing
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.pdf.render import Laid, lay_out
from provenance.press.templates import render, source
from provenance.public.quotation.client import ClientPaper
from provenance.public.studio import PublicStudio

PAGES = 2
DRAWN_HIGH_MM = (78.0, 66.0, 54.0, 42.0, 30.0)
_LETTER_OVER_MM = (60.0, 30.0)  # the same for a letter that stands overleaf
_MARGINS_MM = 48.0
_LETTERS_MM = 8.5 * 25.4 / 72
_LONG, _LONGEST = 24, 44
_HEADINGS = (
    "name", "for", "what_heading", "yarn_heading", "colours_heading", "go_ahead", "signature",
    "day", "terms", "tick",
)  # fmt: skip


def quotation_pdf(studio: PublicStudio, paper: ClientPaper, sheet: Format) -> bytes:
    """The paper that goes to the client; Slip says what of it cannot be printed."""
    return _fitting(studio, paper, sheet).pdf(archival=True, created=paper.made_on)


def _fitting(studio: PublicStudio, paper: ClientPaper, sheet: Format) -> Laid:
    """With the largest drawing that leaves the signature on the first page, on two pages.

    Words that take more than two pages even so go out whole, with the smallest drawing, the letter
    overleaf: what is signed may not be shortened.
    """
    ways = [*product(("front",), DRAWN_HIGH_MM), *product(("overleaf",), _LETTER_OVER_MM)]
    for letter, high in ways[:-1]:
        laid = lay_out(*_set(studio, paper, sheet, high, letter))
        if laid.pages <= PAGES:
            return laid
    letter, high = ways[-1]
    return lay_out(*_set(studio, paper, sheet, high, letter))


def _set(
    studio: PublicStudio, paper: ClientPaper, sheet: Format, high: float, letter: str
) -> tuple[str, Mapping[str, bytes | Code]]:
    """Both pages as HTML with their files; the letter on the `front`, or overleaf."""
    black = sheet.is_black
    wide = sheet.size_mm[0] - _MARGINS_MM
    drawing, width = _drawing(studio, paper, (wide, high), black=black)
    edge = bar_svg(paper.stripes, SELVEDGE_MM, sheet.size_mm[1], upright=True, black=black)
    assets: dict[str, bytes | Code] = {
        "quotation.css": source("quotation/quotation.css", studio.templates),
        "selvedge.svg": edge,
        "drawn.svg": drawing.svg.encode(),
    }
    shown = {
        "width": f"{width:.2f}",
        "height": f"{width * drawing.height / drawing.width:.2f}",
        "words": drawing.words,
    }
    context = {"it": paper, "sheet": sheet.name, "is_black": black, "studio": studio,
               "drawing": shown, "letter": letter, **_words(studio, paper)}  # fmt: skip
    return render("quotation/client.html", context, studio.templates), assets


def _words(studio: PublicStudio, paper: ClientPaper) -> dict[str, Any]:
    say = studio.phrases.say
    several = "" if len(paper.sizes) > 1 else "_one"
    return {
        "language": studio.phrases.language,
        "say": {name: say(f"quotation.{name}") for name in _HEADINGS},
        "ahead": say(f"quotation.go_ahead_words{several}"),
        "order": say(f"quotation.order{several}"),
        "reach": say("quotation.reach", maker=studio.maker, contact=paper.contact),
        "shares": say("quotation.shares"),
        "long": sum(len(paper.title) > step for step in (_LONG, _LONGEST)),
    }


def _drawing(
    studio: PublicStudio, paper: ClientPaper, room: tuple[float, float], *, black: bool
) -> tuple[Drawing, float]:
    """The sizes to scale, and how wide that is on the page; its letters can be read there."""
    works = [ToScale(size.height, size.width, paper.bands) for size in paper.sizes]
    kind, width, letters = paper.kind or "other", room[0], _LETTERS_MM / room[0]
    for _ in range(5):  # larger letters want a wider view, and that is smaller on the page
        drawn = scale_drawing(works, kind, studio.phrases, black=black, letters=letters)
        width = min(room[0], room[1] * drawn.width / drawn.height)
        high = float(drawn.svg.split('font-size="', 1)[1].split('"', 1)[0]) * width / drawn.width
        if high >= _LETTERS_MM * 0.98:
            break
        letters *= _LETTERS_MM / high
    return drawn, width
