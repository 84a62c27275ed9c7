"""Which recorded colours, or named ones, come nearest to a wanted one.

In: a wanted colour and named swatches, as sRGB hex. Out: every swatch with its difference in
CIEDE2000, nearest first; of the centroids of the ISCC-NBS system the nearest, for data that museums
read: renderings of the centroids differ by some ΔE00 among themselves. Who is spoken to hears the
plain words of `figures.colour.plain`.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from provenance.figures.colour.space import delta_e, lab
from provenance.reference.colour_names import centroids


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


@cache
def colour_name(colour: str) -> tuple[str, float]:
    """The ISCC-NBS name nearest to the colour, and its ΔE00."""
    first = nearest(colour, centroids())[0]
    return first.name, first.delta_e
