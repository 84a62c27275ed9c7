"""Wall labels, in the order of a museum's: maker; title and date; medium; size; number; price.

In: what hangs at an outlet. Out: cards with cut marks, 14 points and more, the selvedge as their
left edge. Order: artic.edu/articles/872/how-to-read-a-label; size of type: artbizblog.com/wall-
labels. They hang before the public: no contact, no code and no address is on them.
"""

from provenance.papers.certificates.object_id import medium
from provenance.papers.format import format_for
from provenance.papers.sheets.frame import Display, Page, Paper, sheet_pdf
from provenance.press.drawings.selvedge import bar_svg
from provenance.public.piece import PublicPiece

_EDGE_MM = (9.0, 60.0)


def wall_labels(display: Display) -> list[Paper]:
    """A card for every piece, by number."""
    is_black = format_for(display.studio).is_black
    edges = {
        f"edge-{each.number}.svg": bar_svg(
            each.stripes, *_EDGE_MM, upright=True, black=is_black
        ).encode()
        for each in display.pieces
    }
    page = Page(
        "wall_labels",
        display.say("wall_labels"),
        {
            "outlet": display.outlet.title,
            "cards": [_card(display, each) for each in display.pieces],
        },
        assets=edges,
    )
    return [Paper("wall-labels.pdf", sheet_pdf(display.studio, page, display.pieces), page.title)]


def _card(display: Display, each: PublicPiece) -> dict[str, str]:
    return {
        "number": each.number,
        "title": each.title,
        "year": each.year,
        "medium": _medium(display, each),
        "size": each.size,
        "credit": "" if each.for_sale else display.say("lent"),
        "price": each.price if each.state == "available" else "",
        "standing": each.availability if each.state == "reserved" else "",
    }


def _medium(display: Display, each: PublicPiece) -> str:
    """Fibres in falling order, the cloth, and what it was dyed with."""
    dyes = ", ".join(map(display.phrases.stuff, each.dye_names))
    dyed = f"; {display.say('dyed', dyes=dyes)}" if dyes else ""
    return f"{medium(each)}{dyed}"
