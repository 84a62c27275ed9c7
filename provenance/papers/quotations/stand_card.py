"""The stand card: A6 for the table, kind and size, from how much, in how many weeks; where to ask.

In: the public studio and what the card tells. Out: the bytes of a PDF, in letters of 10 points and
more: it is read standing. What one side has no room for runs on overleaf.
"""

from decimal import Decimal

from provenance.press.codes.qr import CLEAR, Code, address_of, code_of, mm
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.pdf.render import render_pdf
from provenance.press.templates import render, source
from provenance.problems import Said, Slip
from provenance.public.quotation.card import Card
from provenance.public.studio import PublicStudio

HIGH_MM = 148.0
EDGE_MM = 7.0
_HEADINGS = ("name", "lead", "size_heading", "price_heading", "weeks_heading", "foot")
_ANY = "0"
_FEW = 8  # sizes that leave room for larger letters
_MODULE_MM = Decimal("0.7")


def card_pdf(studio: PublicStudio, card: Card, *, black: bool = False) -> bytes:
    """The card; Slip when there is nothing to put on it."""
    if not card.kinds:
        raise Slip(Said("card.nothing"), Said("card.needs"))
    say = studio.phrases.say
    assets: dict[str, bytes | Code] = {
        "card.css": source("quotation/card.css", studio.templates),
        "selvedge.svg": bar_svg(card.stripes, EDGE_MM, HIGH_MM, upright=True, black=black),
    }
    context = {
        "language": studio.phrases.language,
        "studio": studio,
        "say": {name: say(f"stand_card.{name}") for name in _HEADINGS},
        "kinds": card.kinds,
        "roomy": sum(map(len, card.kinds.values())) <= _FEW,
        "contact": [way for way in (studio.email, studio.phone, studio.post) if way],
        "site": studio.site.partition("://")[2].rstrip("/"),
        "code": _code(studio, assets),
        "day": studio.phrases.day(studio.today),
    }
    html = render("quotation/card.html", context, studio.templates)
    return render_pdf(html, assets, archival=True, created=studio.today)


def _code(studio: PublicStudio, assets: dict[str, bytes | Code]) -> dict[str, object] | None:
    """The code that leads to the site; it is put among the assets."""
    if not studio.site:
        return None
    home = address_of(studio.site, _ANY).removesuffix(f"{_ANY}/")
    code = assets["code.png"] = code_of(home)
    alt = studio.phrases.say("stand_card.code", address=home)
    return {"width": mm(code, _MODULE_MM), "edge": CLEAR * _MODULE_MM, "alt": alt}
