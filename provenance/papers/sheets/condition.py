"""The condition and hand-over report that travels with a piece.

In: the papers of an outlet. Out: a page for each piece: what it is, its picture for marking, a
list of what to look for on textiles with boxes for leaving, arrival and return, and hand-overs to
sign. Headings by cause (light, damp, dirt, pests, inherent, mechanical, old repairs): Te Papa He
Rauemi 26 (2010); points on textiles: lam.alaska.gov/condition-reporting/textiles; compared and
signed at each hand-over: MUSEUM-L, 18 September 2001.
"""

from __future__ import annotations

from provenance.papers.certificates.object_id import medium
from provenance.papers.sheets.frame import Held, Page, Papers, Sheet, sheet_pdf, whole_view
from provenance.press.codes.qr import Code

POINTS = (
    "fading", "rub_off", "stains", "mould", "soiling", "pests", "folds", "shape",
    "selvedge_edges", "loose_ends", "broken", "missing", "repairs", "fixings",
)  # fmt: skip
_PHOTO_MM = (62.0, 68.0)
_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def condition_report(papers: Papers) -> list[Sheet]:
    """The facts filled in; boxes, the picture's margins and signatures left open."""
    assets: dict[str, bytes | Code] = {}
    reports = [_report(papers, each, assets) for each in papers.pieces]
    page = Page(
        "condition",
        papers.say("condition"),
        {
            "outlet": papers.title,
            "reports": reports,
            "points": [(_LETTERS[index], papers.say(point)) for index, point in enumerate(POINTS)],
            "moments": [papers.say(word) for word in ("leaving", "arriving", "returning")],
        },
        keep=True,
        assets=assets,
    )
    return [Sheet("condition.pdf", sheet_pdf(papers.setting, page, papers.pieces), page.title)]


def _report(papers: Papers, each: Held, assets: dict[str, bytes | Code]) -> dict[str, object]:
    facts, say = each.facts, papers.setting.phrases.say
    rows = {
        "label.size": facts.size,
        "label.weight": facts.weight,
        "certificate.medium": medium(facts),
        "label.dyes": facts.dyes,
        "label.signed": facts.signed,
        "certificate.light": facts.short_light,
    }
    return {
        "number": facts.number,
        "title": facts.title,
        "kind_line": f"{facts.kind_word}, {facts.year}",
        "rows": [(say(name), text) for name, text in rows.items() if text],
        "photo": whole_view(papers, each, _PHOTO_MM, assets),
    }
