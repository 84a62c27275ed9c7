"""Yarn that came dyed: what was said of its dye when it was bought, or that the mill dyed it.

In: a bought yarn lot. Out: its dyes, bath by bath; `MILL` where all that is known is that somebody
dyed it: its record says so, or its colour is none that fleece, flax or silk have by nature. Which
colours those are is our own judgement: greys, and the hues from brown to cream while they are dull.
"""

import colorsys
import re

from provenance.records.lots import Yarn

MILL = "mill-dye"
_UNDYED = ("none", "no", "undyed", "natural")
_NEARLY_GREY, _DULL = 0.18, 0.62  # saturation, of 1
_BROWN, _CREAM = 15, 52  # degrees of hue


def dyed_before(lot: Yarn | None) -> list[list[str]]:
    """What bought yarn was dyed with before it came, one list for each bath; none for undyed."""
    if lot is None or lot.fleece:
        return []
    words = re.split(r",\s*then\b|,|;|\bthen\b|\band\b", str(lot.dyes or ""))
    named = [[word.strip()] for word in words if word.strip()]
    if named:
        return [each for each in named if each[0].casefold() not in _UNDYED]
    return [[MILL]] if _is_mill_dyed(lot) else []


def _is_mill_dyed(lot: Yarn) -> bool:
    if lot.dyed:
        return str(lot.dyed) != "no"
    return lot.colour is not None and not is_natural(str(lot.colour))


def is_natural(colour: str) -> bool:
    """Whether fibre can have this colour as it grows: `#8f8e8a`."""
    red, green, blue = (int(colour[turn : turn + 2], 16) / 255 for turn in (1, 3, 5))
    hue, saturation, _ = colorsys.rgb_to_hsv(red, green, blue)
    return saturation < _NEARLY_GREY or (_BROWN <= hue * 360 <= _CREAM and saturation <= _DULL)
