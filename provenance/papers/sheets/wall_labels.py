"""Wall labels, in the order of a museum's: maker; title and date; medium; size; number; price.

In: what hangs at an outlet. Out: cards with cut marks, 14 points and more, the selvedge as their
left edge. Order: artic.edu/articles/872/how-to-read-a-label; size of type: artbizblog.com/wall-
labels. They hang before the public: no contact, no code and no address is on them.
"""

from provenance.papers.certificates.object_id import medium
from provenance.papers.format import format_for
from provenance.papers.sheets.frame import Display, Paper
from provenance.press.drawings.selvedge import bar_svg
from provenance.public.piece import PublicPiece

_EDGE_MM = (9.0, 60.0)


def wall_labels(display: Display) -> list[Paper]:
    """A card for every piece, by number."""
    black = format_for(display.studio).is_black
    edges = {
        f"edge-{each.number}.svg": bar_svg(each.stripes, *_EDGE_MM, upright=True, black=black)
        for each in display.pieces
    }
    values = {"medium": lambda each: _medium(display, each)}
    return display.papers(display.page("wall_labels", values, assets=edges))


def _medium(display: Display, each: PublicPiece) -> str:
    """Fibres in falling order, the cloth, and what it was dyed with."""
    dyes = ", ".join(map(display.phrases.stuff, each.dye_names))
    dyed = f"; {display.say('dyed', dyes=dyes)}" if dyes else ""
    return f"{medium(each)}{dyed}"
