"""The condition and hand-over report that travels with a piece.

In: what hangs at an outlet. Out: a page for each piece: what it is, its picture for marking, a
list of what to look for on textiles with boxes for leaving, arrival and return, and hand-overs to
sign. Headings by cause (light, damp, dirt, pests, inherent, mechanical, old repairs): Te Papa He
Rauemi 26 (2010); points on textiles: lam.alaska.gov/condition-reporting/textiles; compared and
signed at each hand-over: MUSEUM-L, 18 September 2001.
"""

from string import ascii_uppercase

from provenance.papers.certificates.object_id import medium
from provenance.papers.sheets.frame import Display, Paper, Sheets, whole_view
from provenance.press.codes.qr import Code
from provenance.public.piece import PublicPiece

POINTS = (
    "fading", "rub_off", "stains", "mould", "soiling", "pests", "folds", "shape",
    "selvedge_edges", "loose_ends", "broken", "missing", "repairs", "fixings",
)  # fmt: skip
_PHOTO_MM = (62.0, 68.0)


def condition_report(display: Display) -> list[Paper]:
    """The facts filled in; boxes, the picture's margins and signatures left open."""
    assets: dict[str, bytes | Code] = {}
    values = {
        "reports": [
            (each, facts_of(display, each), whole_view(display, each, _PHOTO_MM, assets))
            for each in display.pieces
        ],
        "points": list(zip(ascii_uppercase, map(display.say, POINTS), strict=False)),
        "moments": [display.say(word) for word in ("leaving", "arriving", "returning")],
    }
    return display.papers(display.page("condition", values, assets=assets))


def facts_of(sheets: Sheets, each: PublicPiece) -> list[tuple[str, str]]:
    """What identifies it and how it hangs, as far as it is known: a heading and its words."""
    rows = {
        "label.size": each.size,
        "label.weight": each.weight,
        "certificate.medium": medium(each),
        "label.dyes": each.dyes,
        "label.signed": each.signed,
        "label.mount": each.mount,
        "certificate.light": each.short_light,
    }
    return [(sheets.phrases.say(name), text) for name, text in rows.items() if text]
