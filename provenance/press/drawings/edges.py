"""The edge of all works of a book: a stripe a work, side by side as a cloth, each in its colours.

In: the stripes of each work. Out: an SVG in millimetres; of a work nobody knows the yarns of, the
stripe is left white.
"""

from collections.abc import Sequence

from provenance.public.edge import Stripe

Work = tuple[str, Sequence[Stripe]]  # what stands at its foot, its stripes
_GAP = 0.7
_INK = "#000"
_LEAST_FOR_NUMBERS = 5.0  # millimetres of a stripe


def edges_svg(
    works: Sequence[Work], size: tuple[float, float], bleed: float, foot: tuple[float, float]
) -> bytes:
    """Stripes from the left edge to the right, all of one width once the bleed is cut off; at the
    foot, where there is room, the number of each. `size` is with the bleed at the sides, `foot` how
    high the foot is and the size of its letters; all in millimetres."""
    (width, height), (deep, letters) = size, foot
    each = (width - 2 * bleed + _GAP) / max(len(works), 1)
    tall = height - deep
    shapes: list[str] = []
    for turn, (number, stripes) in enumerate(works):
        left, right = bleed + turn * each, bleed + (turn + 1) * each - _GAP
        middle = (left + right) / 2
        left -= bleed if turn == 0 else 0
        right += bleed if turn == len(works) - 1 else 0
        shapes += _column(stripes, left, right - left, tall)
        if deep and each >= _LEAST_FOR_NUMBERS:
            shapes.append(
                f'<text x="{middle:.3f}" y="{tall + letters * 1.5:.3f}" fill="{_INK}" '
                f'text-anchor="middle" font-size="{letters:g}">{number}</text>'
            )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" '
        f'width="{width:g}mm" height="{height:g}mm" preserveAspectRatio="none" '
        f"font-family=\"'Studio Sans','Studio Serif'\">{''.join(shapes)}</svg>"
    ).encode()


def _column(stripes: Sequence[Stripe], left: float, wide: float, tall: float) -> list[str]:
    return [
        f'<rect x="{left:.3f}" y="{float(s.start) * tall:.3f}" width="{wide:.3f}" '
        f'height="{float(s.share) * tall:.3f}" fill="{s.colour}"/>'
        for s in stripes
    ]
