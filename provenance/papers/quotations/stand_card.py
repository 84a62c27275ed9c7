"""The stand card: one A6 page for the table, kind and size, from so much to so much, in weeks.

In: the public studio and what the card tells. Out: the bytes of a PDF.
"""

from provenance.press.drawings.selvedge import bar_svg
from provenance.press.pdf.render import render_pdf
from provenance.press.templates import render, source
from provenance.problems import Said, Slip
from provenance.public.quotation.card import Card
from provenance.public.studio import PublicStudio

HIGH_MM = 148.0
EDGE_MM = 7.0
_MANY = 13
_HEADINGS = ("name", "lead", "size_heading", "price_heading", "weeks_heading", "foot")


def card_pdf(studio: PublicStudio, card: Card, *, black: bool = False) -> bytes:
    """The card; Slip when there is nothing to put on it."""
    if not card.kinds:
        raise Slip(Said("card.nothing"), Said("card.needs"))
    say = studio.phrases.say
    context = {
        "language": studio.phrases.language,
        "studio": studio,
        "say": {name: say(f"stand_card.{name}") for name in _HEADINGS},
        "kinds": card.kinds,
        "day": say("stand_card.day", studio=studio.name, day=studio.phrases.day(studio.today)),
        "size_class": "small" if sum(map(len, card.kinds.values())) > _MANY else "",
    }
    html = render("quotation/card.html", context, studio.templates)
    assets = {
        "card.css": source("quotation/card.css", studio.templates),
        "selvedge.svg": bar_svg(card.stripes, EDGE_MM, HIGH_MM, upright=True, black=black),
    }
    return render_pdf(html, assets, archival=True, created=studio.today)
