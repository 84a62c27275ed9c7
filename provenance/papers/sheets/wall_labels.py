"""Wall labels, in the order of a museum's: maker; title and date; medium; size; number; price.

In: the papers of an outlet. Out: cards with cut marks, 14 points and more, the selvedge as their
left edge. Order: artic.edu/articles/872/how-to-read-a-label; size of type: artbizblog.com/wall-
labels. They hang before the public: no contact, no code and no address is on them.
"""

from __future__ import annotations

from provenance.papers.certificates.object_id import medium
from provenance.papers.certificates.page import sheet_for
from provenance.papers.sheets.frame import Held, Page, Papers, Sheet, sheet_pdf
from provenance.press.drawings.selvedge import bar_svg

_EDGE_MM = (9.0, 60.0)


def wall_labels(papers: Papers) -> list[Sheet]:
    """A card for every piece, by number."""
    is_black = sheet_for(papers.setting).is_black
    edges = {
        f"edge-{each.facts.number}.svg": bar_svg(
            each.facts.stripes, *_EDGE_MM, upright=True, black=is_black
        ).encode()
        for each in papers.pieces
    }
    page = Page(
        "wall_labels",
        papers.say("wall_labels"),
        {"outlet": papers.title, "cards": [_card(papers, each) for each in papers.pieces]},
        assets=edges,
    )
    return [Sheet("wall-labels.pdf", sheet_pdf(papers.setting, page, papers.pieces), page.title)]


def _card(papers: Papers, each: Held) -> dict[str, str]:
    facts = each.facts
    return {
        "number": facts.number,
        "title": facts.title,
        "year": facts.year,
        "medium": _medium(papers, each),
        "size": facts.size,
        "credit": "" if each.for_sale else papers.say("lent"),
        "price": facts.price if facts.state == "available" else "",
        "standing": facts.availability if facts.state == "reserved" else "",
    }


def _medium(papers: Papers, each: Held) -> str:
    """Fibres in falling order, the cloth, and what it was dyed with."""
    facts = each.facts
    dyes = ", ".join(map(papers.setting.phrases.stuff, facts.dye_names))
    dyed = f"; {papers.say('dyed', dyes=dyes)}" if dyes else ""
    return f"{medium(facts)}{dyed}"
