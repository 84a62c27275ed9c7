"""The client's quotation on paper: one or two pages, archival, with the selvedge to come.

In: the public studio, what the client may read, the sheet. Out: the bytes of a PDF/A-3a and
PDF/UA-1. Up to three sizes stand side by side, drawn to one scale above their prices in bands of
the planned colours, with a rule beside them. Bands tell how much of each colour there is, never the
drawing; in black only they are hatched, as the selvedge is.
"""

from collections.abc import Sequence

from provenance.papers.format import SELVEDGE_MM, Format
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.pdf.render import render_pdf
from provenance.press.templates import render, source
from provenance.public.quotation.client import ClientPaper, Drawn
from provenance.public.studio import PublicStudio

RULES_CM = (200, 100, 50, 20, 10)
ROOM_MM = {1: (110.0, 58.0), 2: (58.0, 56.0), 3: (39.0, 54.0)}
_LONG, _LONGEST = 24, 44
_HEADINGS = (
    "name", "for", "what_heading", "yarn_heading", "colours_heading", "sizes_heading",
    "go_ahead", "chosen", "signature", "day",
)  # fmt: skip


def quotation_pdf(studio: PublicStudio, paper: ClientPaper, sheet: Format) -> bytes:
    """The paper that goes to the client; Slip says what of it cannot be printed."""
    say, black = studio.phrases.say, sheet.is_black
    mm, rule = _scale(paper.sizes)
    rule_mm, length = round(rule * mm, 2), f"{rule / 100:g} m" if rule >= 100 else f"{rule} cm"
    edge = bar_svg(paper.stripes, SELVEDGE_MM, sheet.size_mm[1], upright=True, black=black)
    assets = {
        "quotation.css": source("quotation/quotation.css", studio.templates),
        "selvedge.svg": edge,
        "rule.svg": _rule_svg(rule_mm).encode(),
    }
    drawings = []
    for turn, size in enumerate(paper.sizes):
        colours = "; ".join(chip.words for chip in paper.chips)
        words = say("quotation.drawn", size=size.words, colours=colours)
        drawn = {"name": f"size{turn}.svg", "words": words}
        width, height = (round(float(side) * mm, 2) for side in (size.width, size.height))
        assets[drawn["name"]] = bar_svg(paper.bands, width, height, upright=True, black=black)
        drawings.append({**drawn, "width": width, "height": height})
    context = {
        "it": paper,
        "sheet": sheet.name,
        "language": studio.phrases.language,
        "studio": studio,
        "say": {name: say(f"quotation.{name}") for name in _HEADINGS},
        "reach": say("quotation.reach", maker=studio.maker, contact=paper.contact),
        "is_black": black,
        "drawings": drawings,
        "rule": {
            "height": rule_mm,
            "alt": say("quotation.rule", length=length),
            "words": say("quotation.shares", length=length),
        },
        "ahead": say("quotation.go_ahead_words"),
        "long": sum(len(paper.title) > step for step in (_LONG, _LONGEST)),
    }
    html = render("quotation/client.html", context, studio.templates)
    return render_pdf(html, assets, archival=True, created=paper.made_on)


def _scale(sizes: Sequence[Drawn]) -> tuple[float, int]:
    """Millimetres of paper for a centimetre, so that every size fits; the rule's centimetres."""
    width, height = ROOM_MM[len(sizes)]
    highest = max(float(size.height) for size in sizes)
    mm = min(width / max(float(size.width) for size in sizes), height / highest)
    return mm, next((rule for rule in RULES_CM if rule <= highest), RULES_CM[-1])


def _rule_svg(high: float) -> str:
    """The rule, upright, with ticks at its ends and middle."""
    ticks = "".join(
        f'<path d="M0 {round(at * high, 2)}h{long}" stroke="#655c54" stroke-width="0.2"/>'
        for at, long in ((0.003, 2), (0.5, 1.2), (0.997, 2))
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 2 {high}" width="2" '
        f'height="{high}"><path d="M0.1 0V{high}" stroke="#655c54" stroke-width="0.2"/>'
        f"{ticks}</svg>"
    )
