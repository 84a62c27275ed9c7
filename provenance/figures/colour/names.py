"""A name for a colour: the nearest centroid of the ISCC-NBS system.

In: an sRGB hex colour. Out: a name and how far off it is (CIEDE2000); `language/` has the name in
words. A suggestion that the maker may overrule: renderings of the centroids differ by some ΔE00
among themselves.
"""

from functools import cache

from provenance.figures.colour.space import Lab, delta_e, lab
from provenance.reference.colour_names import centroids


@cache
def colour_name(colour: str) -> tuple[str, float]:
    """The ISCC-NBS name nearest to the colour, and its ΔE00."""
    here = lab(colour)
    off, name = min((delta_e(here, there), name) for name, there in _placed())
    return name, off


@cache
def _placed() -> tuple[tuple[str, Lab], ...]:
    return tuple((name, lab(colour)) for name, colour in centroids())
