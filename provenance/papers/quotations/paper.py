"""The client's quotation on paper: one or two pages, archival, with the selvedge to come.

In: the setting, a quotation, the sheet. Out: the bytes of a PDF/A-3a and PDF/UA-1. Only the words
of `ClientPaper` reach the template. Up to three sizes stand side by side, drawn to one scale above
their prices.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import Any

from provenance.figures.quotation.quote import Quotation
from provenance.papers.certificates.page import SELVEDGE_MM, SHEETS, Sheet
from provenance.papers.quotations.drawing import draw, rule_svg, scale_for
from provenance.papers.quotations.words import ClientPaper, client_paper
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.pdf import render as pdf
from provenance.press.templates import render, source
from provenance.public.setting import Setting

ROOM_MM = {1: (110.0, 58.0), 2: (58.0, 56.0), 3: (39.0, 54.0)}
_LONG, _LONGEST = 24, 44


def quotation_pdf(setting: Setting, quotation: Quotation, sheet: Sheet) -> bytes:
    """The paper that goes to the client; Slip says what of it cannot be printed."""
    paper = client_paper(setting, quotation)
    html, assets = _page(setting, paper, sheet)
    return pdf.render_pdf(
        html,
        assets,
        archival=True,
        identifier=hashlib.sha256(html.encode()).digest(),
        created=quotation.asked.commission.quoted or setting.today,
    )


def _page(setting: Setting, paper: ClientPaper, sheet: Sheet) -> tuple[str, Mapping[str, bytes]]:
    high = SHEETS[sheet.name][1]
    assets = {
        "quotation.css": source("quotation/quotation.css", setting.templates),
        "selvedge.svg": bar_svg(
            paper.stripes, SELVEDGE_MM, high, upright=True, black=sheet.is_black
        ).encode(),
    }
    drawings = []
    scale = scale_for(paper.sizes, ROOM_MM[len(paper.sizes)])
    for turn, size in enumerate(paper.sizes):
        drawn = draw(size, paper.bands, scale, black=sheet.is_black)
        assets[f"size{turn}.svg"] = drawn.svg.encode()
        drawings.append({"name": f"size{turn}.svg", "width": drawn.width, "height": drawn.height,
                         "words": _drawn_words(setting, paper, turn)})  # fmt: skip
    assets["rule.svg"] = rule_svg(scale).encode()
    length = _metres(float(scale.rule))
    rule = {
        "height": round(scale.rule_mm, 2),
        "alt": setting.phrases.say("quotation.rule", length=length),
        "words": setting.phrases.say("quotation.shares", length=length),
    }
    context: dict[str, Any] = {
        "it": paper,
        "sheet": sheet.name,
        "language": setting.phrases.language,
        "studio": setting.book.studio,
        "say": _words(setting),
        "reach": setting.phrases.say(
            "quotation.reach", maker=setting.book.studio.maker, contact=paper.contact
        ),
        "is_black": sheet.is_black,
        "drawings": drawings,
        "rule": rule,
        "ahead": setting.phrases.say("quotation.go_ahead_words"),
        "long": sum(len(paper.title) > step for step in (_LONG, _LONGEST)),
    }
    return render("quotation/client.html", context, setting.templates), assets


def _words(setting: Setting) -> dict[str, str]:
    """The headings of the paper."""
    names = ("name", "for", "what_heading", "yarn_heading", "colours_heading", "sizes_heading",
             "go_ahead", "chosen", "signature", "day")  # fmt: skip
    return {name: setting.phrases.say(f"quotation.{name}") for name in names}


def _drawn_words(setting: Setting, paper: ClientPaper, turn: int) -> str:
    colours = "; ".join(chip.words for chip in paper.chips)
    size = setting.phrases.size(paper.sizes[turn])
    return setting.phrases.say("quotation.drawn", size=size, colours=colours)


def _metres(cm: float) -> str:
    return f"{cm / 100:g} m" if cm >= 100 else f"{cm:g} cm"
