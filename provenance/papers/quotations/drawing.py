"""The sizes of a quotation drawn to one scale, in bands of the planned colours.

In: sizes and stripes, the room for each. Out: SVG drawings in millimetres that stand on one
ground, with a rule beside them. Bands tell how much of each colour there is, never the drawing; in
black only they are hatched, as the selvedge is.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from provenance.press.drawings.selvedge import bar_svg
from provenance.public.edge import Stripe
from provenance.public.shapes import Size

RULES = (Fraction(200), Fraction(100), Fraction(50), Fraction(20), Fraction(10))  # cm


@dataclass(frozen=True, slots=True)
class Drawn:
    """One size as a picture, in millimetres on paper."""

    svg: str
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Scale:
    """Millimetres of paper for a centimetre, and the rule that is drawn: centimetres long."""

    mm: float
    rule: Fraction

    @property
    def rule_mm(self) -> float:
        return float(self.rule) * self.mm


def scale_for(sizes: Sequence[Size], room: tuple[float, float]) -> Scale:
    """The one scale at which every size fits its room (width, height in millimetres)."""
    widest = max(float(size.width) for size in sizes)
    highest = max(float(size.height) for size in sizes)
    mm = min(room[0] / widest, room[1] / highest)
    fits = (rule for rule in RULES if float(rule) <= highest)
    return Scale(mm, next(fits, RULES[-1]))


def draw(size: Size, stripes: Sequence[Stripe], scale: Scale, *, black: bool) -> Drawn:
    """One size in bands, top to bottom."""
    width, height = float(size.width) * scale.mm, float(size.height) * scale.mm
    svg = bar_svg(stripes, round(width, 2), round(height, 2), upright=True, black=black)
    return Drawn(svg, round(width, 2), round(height, 2))


def rule_svg(scale: Scale) -> str:
    """The rule, upright, with ticks at its ends and middle."""
    high = round(scale.rule_mm, 2)
    ticks = "".join(
        f'<path d="M0 {round(at * high, 2)}h{long}" stroke="#655c54" stroke-width="0.2"/>'
        for at, long in ((0.003, 2), (0.5, 1.2), (0.997, 2))
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 2 {high}" width="2" '
        f'height="{high}"><path d="M0.1 0V{high}" stroke="#655c54" stroke-width="0.2"/>'
        f"{ticks}</svg>"
    )
