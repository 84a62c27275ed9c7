"""The site's small mark: the edge of its newest piece as a square, for tabs and home screens.

In: the piece. Out: the files that every page names, and the same as an address that holds it whole,
for the page that is shown under any address.
"""

from fractions import Fraction
from urllib.parse import quote

from provenance.press.drawings.selvedge import bar_svg
from provenance.press.pictures.sharing import INK, mark_picture
from provenance.public.edge import Stripe, stripes_of
from provenance.site.shown import ShownPiece

_MOST, _SIDE, _PNG_SIDE = 7, 32, 180  # stripes that are still told apart; the sides in pixels


def mark_file(newest: ShownPiece | None, name: str) -> bytes:
    """The mark as a drawing (`mark.svg`) or a picture (`mark.png`)."""
    stripes = _broad(newest)
    return mark_picture(stripes, _PNG_SIDE) if name.endswith(".png") else _drawing(stripes)


def mark_address(newest: ShownPiece | None) -> str:
    """The mark as a `data:` address."""
    return "data:image/svg+xml," + quote(_drawing(_broad(newest)))


def _broad(newest: ShownPiece | None) -> tuple[Stripe, ...]:
    """The broadest stripes, in their order."""
    found = newest.card.stripes if newest else ()
    broad = sorted(found, key=lambda stripe: -stripe.share)[:_MOST]
    kept = [(stripe.colour, stripe.share) for stripe in found if stripe in broad]
    return stripes_of(kept or [(INK, Fraction(1))])


def _drawing(stripes: tuple[Stripe, ...]) -> bytes:
    return bar_svg(stripes, _SIDE, _SIDE, upright=True)
