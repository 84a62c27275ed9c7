"""Cost, ribbons and shelf of the studio as fragments of a page.

In: a reading, the number of a piece. Out: HTML of `templates/desk/report.html` and `ribbons.html`:
the very report that a command tells (`reports`), in tables.
"""

from provenance.desk.face import edge_of
from provenance.desk.memory import Seen
from provenance.language.phrases import phrases_for_maker
from provenance.press.drawings.lineage import draw_narrow, draw_wide
from provenance.press.markup import as_markup
from provenance.press.templates import render
from provenance.public.names import capital, spoken
from provenance.reports.cost import cost_report
from provenance.reports.report import Report, shown_by
from provenance.reports.stock import stock_report
from provenance.reports.writers.ready import ReadyPhrases
from provenance.site.shown import NARROW_EM, WIDE_EM


def cost_of(seen: Seen, number: str) -> str:
    """What a piece cost, what its price brings at every outlet. Slip for what can't be told."""
    return _told(seen, cost_report(seen.studio.piece(number)))


def shelf_of(seen: Seen) -> str:
    """What is on the shelf today."""
    return _told(seen, stock_report(seen.studio, seen.studio.today))


def ribbons_of(seen: Seen, number: str) -> str:
    """Its edge, what each dye gave, the way from the fleece to the cloth."""
    facts, phrases = seen.border.piece(number), phrases_for_maker(seen.studio.book)
    values = {
        "facts": facts,
        "edge": edge_of(facts.stripes),
        "shades": [(phrases.stuff(name), edge_of(shades)) for name, shades in facts.shades],
        "wide": as_markup(draw_wide(facts.tree, WIDE_EM)),
        "narrow": as_markup(draw_narrow(facts.tree, NARROW_EM)),
        "say": phrases.say,
    }
    return render("desk/ribbons.html", values, None)


def _told(seen: Seen, report: Report) -> str:
    own = phrases_for_maker(seen.studio.book)
    ready = ReadyPhrases(own.language, own.currency, own.words, own.decimal_comma)
    values = {
        "parts": list(shown_by("paper", report.parts)),
        "tell": ready.tell,
        "spoken": spoken,
        "capital": capital,
    }
    return render("desk/report.html", values, None)
