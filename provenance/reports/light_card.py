"""The card for a light test in the window: strips of yarn, half covered, and a list of them.

In: the border. Out: `light-card.pdf`, two sides of A5: ten places of 12 x 90 mm with a flap that is
folded over their lower half, and overleaf the list. Two places are for blue wool strips, as half a
card and known strips beside it are what makes a test (Conservation Resources, fade cards); the
others name the newest dyed lots that have not hung yet. For the maker alone.
"""

from datetime import date

from provenance.figures.dyes.stages import helps_of, history_words
from provenance.figures.flow.makeup import composition, stages_of
from provenance.papers.sheets.frame import Page, Paper, sheet_pdf
from provenance.public.border import Border
from provenance.public.names import called
from provenance.records.book import Book, Dyed

PLACES, STRIPS = 10, 2
WIDE_MM, HIGH_MM, BETWEEN_MM = 12.0, 90.0, 1.4
_EMPTY = dict.fromkeys(("lot", "dyes", "mordants", "fibre", "depth", "bath"), "")
_LEFT_MM, _TOP_MM = 7.7, 60.0


def light_card(border: Border) -> Paper:
    """`light-card.pdf`."""
    say = border.phrases.say
    lots = _waiting(border.studio.book)[: PLACES - STRIPS]
    known = [{**_EMPTY, "lot": say(f"sheet.strip_{number}")} for number in range(1, STRIPS + 1)]
    strips = [*known, *(_strip(border, lot) for lot in lots)]
    places = [
        {"left": f"{_LEFT_MM + turn * (WIDE_MM + BETWEEN_MM):.1f}", "number": turn + 1}
        for turn in range(PLACES)
    ]
    values = {
        "places": places,
        "strips": [*strips, *([_EMPTY] * (PLACES - len(strips)))],
        "wide": WIDE_MM,
        "high": HIGH_MM,
        "top": _TOP_MM,
        "fold": _TOP_MM + HIGH_MM,
        "flap": HIGH_MM / 2,
    }
    page = Page("light_card", say("sheet.light_card"), values)
    return Paper("light-card.pdf", sheet_pdf(border.house, page), page.title)


def _waiting(book: Book) -> list[Dyed]:
    """Dyed lots that no test names, the newest first."""
    hung = {str(test.lot) for test in book.light_tests.values()}
    waiting = [each for name, each in book.dyed.items() if name not in hung]
    return sorted(waiting, key=lambda each: each.bath.date or date.min, reverse=True)


def _strip(border: Border, dyed: Dyed) -> dict[str, str]:
    """What the list says of a lot: its dyes and mordants, fibre, depth, bath."""
    book, phrases, lot = border.studio.book, border.phrases, str(dyed.entry.becomes)
    stages = stages_of(book, lot)
    is_pale = any(stage.pale or stage.exhausts for stage in stages)
    return {
        "lot": called(book, lot),
        "dyes": phrases.tell(history_words(stages)),
        "mordants": ", ".join(map(phrases.stuff, helps_of(stages))),
        "fibre": phrases.listed([phrases.fibre(name) for name in composition(book, lot)]),
        "depth": phrases.say(f"sheet.{'pale' if is_pale else 'full'}"),
        "bath": dyed.bath_name,
    }
