"""The client's quotation on paper: one or two pages, archival, with the selvedge to come.

In: the public studio, what the client may read, the sheet. Out: the bytes of a PDF/A-3a and
PDF/UA-1. Up to three sizes stand side by side, drawn to one scale above their prices.
"""

import hashlib
from collections.abc import Mapping
from typing import Any

from provenance.papers.format import SELVEDGE_MM, Format
from provenance.papers.quotations.drawing import draw, rule_svg, scale_for
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.pdf import render as pdf
from provenance.press.templates import render, source
from provenance.public.quotation.client import ClientPaper
from provenance.public.studio import PublicStudio

ROOM_MM = {1: (110.0, 58.0), 2: (58.0, 56.0), 3: (39.0, 54.0)}
_LONG, _LONGEST = 24, 44
_HEADINGS = (
    "name", "for", "what_heading", "yarn_heading", "colours_heading", "sizes_heading",
    "go_ahead", "chosen", "signature", "day",
)  # fmt: skip


def quotation_pdf(studio: PublicStudio, paper: ClientPaper, sheet: Format) -> bytes:
    """The paper that goes to the client; Slip says what of it cannot be printed."""
    html, assets = _page(studio, paper, sheet)
    identifier = hashlib.sha256(html.encode()).digest()
    return pdf.render_pdf(html, assets, archival=True, identifier=identifier, created=paper.made_on)


def _page(
    studio: PublicStudio, paper: ClientPaper, sheet: Format
) -> tuple[str, Mapping[str, bytes]]:
    say, black = studio.phrases.say, sheet.is_black
    selvedge = bar_svg(paper.stripes, SELVEDGE_MM, sheet.size_mm[1], upright=True, black=black)
    assets = {
        "quotation.css": source("quotation/quotation.css", studio.templates),
        "selvedge.svg": selvedge.encode(),
    }
    drawings = []
    scale = scale_for(paper.sizes, ROOM_MM[len(paper.sizes)])
    for turn, size in enumerate(paper.sizes):
        drawn = draw(size, paper.bands, scale, black=black)
        assets[f"size{turn}.svg"] = drawn.svg.encode()
        drawings.append({"name": f"size{turn}.svg", "width": drawn.width, "height": drawn.height,
                         "words": _drawn_words(studio, paper, turn)})  # fmt: skip
    assets["rule.svg"] = rule_svg(scale).encode()
    length = _metres(float(scale.rule))
    context: dict[str, Any] = {
        "it": paper,
        "sheet": sheet.name,
        "language": studio.phrases.language,
        "studio": studio,
        "say": {name: say(f"quotation.{name}") for name in _HEADINGS},
        "reach": say("quotation.reach", maker=studio.maker, contact=paper.contact),
        "is_black": black,
        "drawings": drawings,
        "rule": {
            "height": round(scale.rule_mm, 2),
            "alt": say("quotation.rule", length=length),
            "words": say("quotation.shares", length=length),
        },
        "ahead": say("quotation.go_ahead_words"),
        "long": sum(len(paper.title) > step for step in (_LONG, _LONGEST)),
    }
    return render("quotation/client.html", context, studio.templates), assets


def _drawn_words(studio: PublicStudio, paper: ClientPaper, turn: int) -> str:
    colours = "; ".join(chip.words for chip in paper.chips)
    size = studio.phrases.size(paper.sizes[turn])
    return studio.phrases.say("quotation.drawn", size=size, colours=colours)


def _metres(cm: float) -> str:
    return f"{cm / 100:g} m" if cm >= 100 else f"{cm:g} cm"
