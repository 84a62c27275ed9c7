"""The selvedge: a piece's yarns as stripes, as woven or by grams, in their colours.

In: strands of a piece. Out: stripes with their shares, the CSS of a page's edge, an SVG bar for
lists and papers; in black only, each colour has a pattern of a form of its own (lines, dots, a
check, chevrons ...), the denser the darker, so that colour never speaks alone.
"""

from collections.abc import Mapping, Sequence
from fractions import Fraction

from provenance.figures.colour.space import lab
from provenance.public.edge import Stripe

# The forms that stand for colours in black only: strokes in a square of 4, and how heavy they are.
FORMS = (
    "M0 1H4M0 3H4",
    "M1 0V4M3 0V4",
    "M-1 1L1 -1M0 4L4 0M3 5L5 3",
    "M1 1h0M3 3h0",
    "M0 1H4M1 0V4",
    "M0 3L2 1L4 3",
    "M-1 3L1 5M0 0L4 4M3 -1L5 1",
    "M0 1h2M2 3h2",
)
SQUARE = 2.4  # millimetres: the square that a form repeats in
WEIGHTS = (0.22, 0.42, 0.75)  # of a stroke, from light to dark; dots are three times as wide


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
    shapes, forms = [], forms_of(stripes)
    for stripe in stripes:
        start, share = float(stripe.start), float(stripe.share)
        box = (
            f'x="0" y="{start * height:.3f}" width="{width:g}" height="{share * height:.3f}"'
            if upright
            else f'x="{start * width:.3f}" y="0" width="{share * width:.3f}" height="{height:g}"'
        )
        fill = f"url(#{pattern_name(stripe.colour, forms)})" if black else stripe.colour
        stroke = ' stroke="#000" stroke-width="0.15"' if black else ""
        shapes.append(f'<rect {box} fill="{fill}"{stroke}/>')
    defs = f"<defs>{''.join(patterns(forms).values())}</defs>" if black else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" '
        f'width="{width:g}" height="{height:g}" preserveAspectRatio="none">{defs}'
        f"{''.join(shapes)}</svg>"
    ).encode()


def lightness(colour: str) -> float:
    """How light a colour is, from 0 (black) to 100 (CIELAB)."""
    return lab(colour)[0]


def forms_of(stripes: Sequence[Stripe]) -> dict[str, int]:
    """The form of each colour, by its place in `FORMS`: the same colour has the same form, and no
    two of a piece share one as long as there are enough."""
    colours = dict.fromkeys(stripe.colour for stripe in stripes)
    return {colour: turn % len(FORMS) for turn, colour in enumerate(colours)}


def weight_of(colour: str) -> int:
    """How heavy the strokes of a colour are, by its place in `WEIGHTS`: the darker the heavier."""
    return min(len(WEIGHTS) - 1, int((100 - lightness(colour)) * len(WEIGHTS) / 100))


def pattern_name(colour: str, forms: Mapping[str, int]) -> str:
    """The name of a colour's pattern: `h`, its form, its weight."""
    return f"h{forms[colour]}{weight_of(colour)}"


def patterns(forms: Mapping[str, int]) -> dict[str, str]:
    """Every pattern that these colours ask for, by its name, for the `<defs>` of a drawing in
    millimetres."""
    asked = {pattern_name(colour, forms): (forms[colour], weight_of(colour)) for colour in forms}
    return {name: _pattern(name, *how) for name, how in sorted(asked.items())}


def _pattern(name: str, form: int, weight: int) -> str:
    wide = WEIGHTS[weight] * (3 if "h0" in FORMS[form] else 1)
    return (
        f'<pattern id="{name}" width="{SQUARE}" height="{SQUARE}" patternUnits="userSpaceOnUse">'
        f'<rect width="{SQUARE}" height="{SQUARE}" fill="#fff"/>'
        f'<g transform="scale({SQUARE / 4})"><path d="{FORMS[form]}" fill="none" stroke="#000" '
        f'stroke-width="{wide:g}" stroke-linecap="{"round" if "h0" in FORMS[form] else "butt"}"/>'
        f"</g></pattern>"
    )
