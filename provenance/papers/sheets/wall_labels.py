"""Wall labels for an outlet: the cards of `papers.shows.labels`, in order of number.

In: what hangs at an outlet. Out: cards to cut out. Which wall each goes to, only a show knows.
"""

from provenance.papers.sheets.frame import Display, Paper
from provenance.papers.shows.labels import card_sheet, label_words


def wall_labels(display: Display) -> list[Paper]:
    """A card for every piece, by number."""
    cards = [("", label_words(display, each)) for each in display.pieces]
    values, assets = card_sheet(display, cards, {})
    page = display.page("wall_labels", values, folder="shows", assets=assets)
    return display.papers(page)
