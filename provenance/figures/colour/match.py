"""Which recorded colours come nearest to a wanted one.

In: a wanted colour and named swatches, as sRGB hex. Out: every swatch with its difference in
CIEDE2000, nearest first.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from provenance.figures.colour.space import delta_e, lab


@dataclass(frozen=True, slots=True)
class Match:
    """A swatch and how far it lies from the colour that was asked for."""

    name: str
    hex: str
    delta_e: float


def nearest(target: str, swatches: Iterable[tuple[str, str]]) -> list[Match]:
    """The swatches (name, hex) in order of difference from the target, equal ones by name."""
    wanted = lab(target)
    found = [Match(name, colour, delta_e(wanted, lab(colour))) for name, colour in swatches]
    return sorted(found, key=lambda match: (match.delta_e, match.name))
