"""The selvedge: a piece's yarns as stripes, colours as recorded, widths by grams.

In: strands of a piece. Out: stripes with their shares, the CSS of a page's edge, an SVG bar for
lists and papers; in black only, each stripe has its own hatching, so that colour never speaks
alone.
"""

from collections.abc import Sequence
from fractions import Fraction

from provenance.figures.colour.space import lab
from provenance.public.edge import Stripe

HATCHES = 6


def percent(share: Fraction) -> str:
    """A share as a CSS percentage, to a thousandth of a percent."""
    return f"{float(share) * 100:.3f}".rstrip("0").rstrip(".") + "%"


def gradient(stripes: Sequence[Stripe], direction: str) -> str:
    """Hard-edged CSS stripes, `direction` such as 'to bottom'."""
    if not stripes:
        return "none"
    if len(stripes) == 1:
        return stripes[0].colour
    stops = ",".join(f"{s.colour} {percent(s.start)} {percent(s.end)}" for s in stripes)
    return f"linear-gradient({direction},{stops})"


def bar_svg(
    stripes: Sequence[Stripe], width: float, height: float, *, upright: bool, black: bool = False
) -> bytes:
    """The stripes as an SVG file of this size; upright ones run from top to bottom."""
    shapes = []
    for number, stripe in enumerate(stripes):
        start, share = float(stripe.start), float(stripe.share)
        box = (
            f'x="0" y="{start * height:.3f}" width="{width:g}" height="{share * height:.3f}"'
            if upright
            else f'x="{start * width:.3f}" y="0" width="{share * width:.3f}" height="{height:g}"'
        )
        fill = f"url(#h{_hatch(stripe, number)})" if black else stripe.colour
        stroke = ' stroke="#000" stroke-width="0.15"' if black else ""
        shapes.append(f'<rect {box} fill="{fill}"{stroke}/>')
    defs = f"<defs>{_HATCHING}</defs>" if black else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" '
        f'width="{width:g}" height="{height:g}" preserveAspectRatio="none">{defs}'
        f"{''.join(shapes)}</svg>"
    ).encode()


def lightness(colour: str) -> float:
    """How light a colour is, from 0 (black) to 100 (CIELAB)."""
    return lab(colour)[0]


def _hatch(stripe: Stripe, number: int) -> int:
    """Darker colours get denser hatching; neighbours differ in direction."""
    dark = min(2, int((100 - lightness(stripe.colour)) / 34))
    return dark * 2 + number % 2


def _hatching() -> str:
    patterns = []
    for number in range(HATCHES):
        gap = (3.0, 1.8, 1.0)[number // 2]
        turn = 45 if number % 2 else -45
        patterns.append(
            f'<pattern id="h{number}" width="{gap}" height="{gap}" '
            f'patternUnits="userSpaceOnUse" patternTransform="rotate({turn})">'
            f'<rect width="{gap}" height="{gap}" fill="#fff"/>'
            f'<rect width="0.35" height="{gap}" fill="#000"/></pattern>'
        )
    return "".join(patterns)


_HATCHING = _hatching()
