"""The condition and hand-over report that travels with a piece.

In: what hangs at an outlet. Out: a page for each piece: what it is, its picture for marking, a
list of what to look for on textiles with boxes for leaving, arrival and return, and hand-overs to
sign. Headings by cause (light, damp, dirt, pests, inherent, mechanical, old repairs): Te Papa He
Rauemi 26 (2010); points on textiles: lam.alaska.gov/condition-reporting/textiles; compared and
signed at each hand-over: MUSEUM-L, 18 September 2001.
"""

from provenance.papers.certificates.object_id import medium
from provenance.papers.sheets.frame import Display, Page, Paper, sheet_pdf, whole_view
from provenance.press.codes.qr import Code
from provenance.public.piece import PublicPiece

POINTS = (
    "fading", "rub_off", "stains", "mould", "soiling", "pests", "folds", "shape",
    "selvedge_edges", "loose_ends", "broken", "missing", "repairs", "fixings",
)  # fmt: skip
_PHOTO_MM = (62.0, 68.0)
_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def condition_report(display: Display) -> list[Paper]:
    """The facts filled in; boxes, the picture's margins and signatures left open."""
    assets: dict[str, bytes | Code] = {}
    reports = [_report(display, each, assets) for each in display.pieces]
    page = Page(
        "condition",
        display.say("condition"),
        {
            "outlet": display.outlet.title,
            "reports": reports,
            "points": [(_LETTERS[index], display.say(point)) for index, point in enumerate(POINTS)],
            "moments": [display.say(word) for word in ("leaving", "arriving", "returning")],
        },
        keep=True,
        assets=assets,
    )
    return [Paper("condition.pdf", sheet_pdf(display.studio, page, display.pieces), page.title)]


def _report(
    display: Display, each: PublicPiece, assets: dict[str, bytes | Code]
) -> dict[str, object]:
    say = display.phrases.say
    rows = {
        "label.size": each.size,
        "label.weight": each.weight,
        "certificate.medium": medium(each),
        "label.dyes": each.dyes,
        "label.signed": each.signed,
        "certificate.light": each.short_light,
    }
    return {
        "number": each.number,
        "title": each.title,
        "kind_line": f"{each.kind_word}, {each.year}",
        "rows": [(say(name), text) for name, text in rows.items() if text],
        "photo": whole_view(display, each, _PHOTO_MM, assets),
    }
