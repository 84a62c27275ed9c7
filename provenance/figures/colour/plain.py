"""Colours in plain words, as one says them across a table: blue-grey, dark red, olive green.

In: an sRGB hex colour. Out: a `Said` of one hue, light or dark where it is, that `language/` has
words for. The vocabulary and its bounds are ours, in CIELAB (D65): bands of the hue circle, each
light or dark against the middle of its own hue, since a yellow is light by nature, a blue dark.
"""

from functools import cache

from provenance.figures.colour.shades import family
from provenance.figures.colour.space import Lch, lab, lch
from provenance.problems import Said

_GREY, _GREYISH = 6.0, 13.0  # chroma below which no hue is named, or only beside grey
# Where the band ends on the hue circle, its word beside grey.
_BESIDE_GREY = ((42, "pink_grey"), (95, "grey_brown"), (122, "olive_grey"), (200, "green_grey"),
                (298, "blue_grey"), (345, "purple_grey"), (361, "pink_grey"))  # fmt: skip
# For each hue the lightness below which it is called dark, and from which light, then pale.
_TONES = {
    "white": (0, 101, 101), "cream": (0, 101, 101), "black": (0, 101, 101), "grey": (42, 66, 101),
    "brown": (32, 55, 101), "red_brown": (30, 52, 101), "golden_brown": (46, 64, 101),
    "rust": (40, 101, 101), "orange": (52, 74, 101), "gold": (54, 80, 101), "yellow": (66, 101, 86),
    "olive_green": (42, 62, 80), "pink": (48, 78, 101), "purple": (36, 56, 74),
    "wine_red": (28, 101, 101), "mauve": (44, 66, 101),
    "pink_grey": (48, 70, 101), "beige": (0, 101, 101),
}  # fmt: skip
_USUAL = (38, 62, 80)


@cache
def plain_colour(colour: str) -> Said:
    """The colour in a word or three."""
    tone = lch(lab(colour))
    hue = _hue(tone, family(colour))
    dark, light, pale = _TONES.get(hue, _USUAL)
    said = Said(f"hue.{hue}")
    if pale <= tone.L:
        return Said("tone.pale", hue=said)
    if light <= tone.L:
        return Said("tone.light", hue=said)
    return Said("tone.dark", hue=said) if dark > tone.L else said


def _hue(tone: Lch, of_family: str) -> str:
    if of_family in ("white", "black"):  # creams are found under white
        return "cream" if of_family == "white" and tone.chroma >= _GREY else of_family
    if tone.L >= 80 and tone.chroma < 22 and 60 <= tone.hue < 110:
        return "cream"
    if tone.chroma < _GREY:
        return "grey"
    if tone.chroma < _GREYISH:
        return _beside_grey(tone)
    return _FINER.get(of_family, lambda _: of_family)(tone)


def _beside_grey(tone: Lch) -> str:
    beside = next(word for end, word in _BESIDE_GREY if tone.hue < end)
    if beside == "pink_grey" and tone.L < 48:
        return "grey_brown" if 20 <= tone.hue < 60 else "purple_grey"
    return "beige" if beside == "grey_brown" and tone.L >= 64 else beside


def _red(tone: Lch) -> str:
    if 8 <= tone.hue < 340:
        return "red"
    return "wine_red" if tone.L < 46 else "crimson"


def _brown(tone: Lch) -> str:
    if tone.hue < 52:
        return "red_brown"
    return "beige" if tone.L >= 62 else "golden_brown" if tone.hue >= 76 else "brown"


def _orange(tone: Lch) -> str:
    if tone.hue < 58 or tone.chroma >= 60:
        return "rust" if tone.L < 54 else "orange"
    return "brown" if tone.L < 50 else "golden_brown" if tone.L < 56 else "gold"


def _yellow(tone: Lch) -> str:
    if tone.L < 72 and tone.hue >= 96 and tone.chroma < 50:
        return "olive_green"
    return "gold" if tone.hue < 90 and tone.chroma >= 35 else "yellow"


def _green(tone: Lch) -> str:
    if tone.hue < 122:
        is_olive = (54 if tone.chroma >= 46 else 66) > tone.L
        return "olive_green" if is_olive else "yellow_green"
    if tone.hue >= 178:
        return "blue_green"
    return "grey_green" if tone.chroma < 18 else "green"


def _blue(tone: Lch) -> str:
    is_grey = tone.chroma < 18 and tone.L >= 40
    return "blue_green" if tone.hue < 222 else "grey_blue" if is_grey else "blue"


def _purple(tone: Lch) -> str:
    return "mauve" if tone.chroma < 26 else "purple"


_FINER = {"red": _red, "brown": _brown, "orange": _orange, "yellow": _yellow, "green": _green,
          "blue": _blue, "purple": _purple}  # fmt: skip
