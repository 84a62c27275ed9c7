"""The stand card, written where it is printed from.

In: the border, the card. Out: its paper in papers/.
"""

from pathlib import Path

from provenance.build.filing import file_paper
from provenance.lock import lock
from provenance.papers.quotations.stand_card import card_pdf
from provenance.public.border import Border
from provenance.public.quotation.card import Card


def write_card(border: Border, card: Card, *, black: bool) -> Path:
    """The stand card."""
    content = card_pdf(border.house, card, black=black)
    path = border.house.folder / "papers" / "stand-card.pdf"
    with lock(border.house.folder, "quote"):
        file_paper(path, content, border.studio.today)
    return path
