"""Colours of yarn: order, family, contrast, and the accent of a piece.

In: sRGB hex colours. Out: keys to sort swatches by, colour families, contrast ratios, an
accent that can be read. Rules: relative luminance and contrast ratio from WCAG 2.2 (W3C); the
bounds between the families are ours, set against the ISCC-NBS centroids.
"""

from functools import cache

from provenance.figures.colour.space import (
    Lab,
    Lch,
    channels,
    from_lch,
    hex_of,
    lab,
    lch,
    linear,
    shows,
)

WHITE_PAGE = "#ffffff"
DARK_PAGE = "#14110f"
READABLE = 4.5  # WCAG 2.2, 1.4.3 Contrast (Minimum), AA for text
_GREYISH = 7.0  # chroma below which no hue is named


def luminance(colour: str) -> float:
    """WCAG relative luminance, 0 (black) to 1 (white)."""
    red, green, blue = (linear(channel / 255) for channel in channels(colour))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """WCAG contrast ratio, 1 to 21, the same both ways."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


@cache
def accent(colour: str, *, on_white: bool) -> str:
    """The colour, its lightness moved until it reads at 4.5:1 on the white or the dark page.

    Hue is kept; chroma gives way only where sRGB cannot show it. A colour that reads already
    comes back unchanged.
    """
    page = WHITE_PAGE if on_white else DARK_PAGE
    if contrast(colour, page) >= READABLE:
        return "#{:02x}{:02x}{:02x}".format(*channels(colour))
    start, step = lch(lab(colour)), -0.25 if on_white else 0.25
    behind = luminance(page) + 0.05
    wanted = (behind / READABLE if on_white else behind * READABLE) - 0.05
    lightness = 116 * wanted ** (1 / 3) - 16  # CIE 15, well above black
    while True:
        moved = hex_of(_shown(Lch(lightness, start.chroma, start.hue)))
        if contrast(moved, page) >= READABLE:
            return moved
        lightness += step


def hue_order(colour: str) -> tuple[bool, int, float]:
    """Sort key for swatches: round the circle from crimson, light to dark; greys at the end."""
    light, chroma, hue = lch(lab(colour))
    if chroma < _GREYISH:
        return True, 0, -light
    return False, int((hue - 345) % 360 // 30), -light


def family(colour: str) -> str:
    """The family a visitor would look under: red, orange, yellow, green, blue, purple,
    pink, brown, white, grey or black."""
    tone = lch(lab(colour))
    return _without_hue(tone) or _brown_or_pink(tone) or _by_hue(tone)


def _without_hue(tone: Lch) -> str:
    """White, grey and black; creams count as white and fleece greys may be a little warm."""
    if tone.L >= 88 and tone.chroma < 11:
        return "white"
    warm = 60 <= tone.hue <= 120 and tone.L >= 50
    if tone.chroma >= (11.0 if warm else _GREYISH):
        return ""
    return "black" if tone.L < 18 else "grey"


def _brown_or_pink(tone: Lch) -> str:
    """Dark and dull oranges are brown; light reds are pink."""
    if 28 <= tone.hue < 42 and tone.L < 40 and tone.chroma < 30:
        return "brown"
    if 42 <= tone.hue < 72 and (tone.L < 39 or (tone.chroma < 35 and tone.L < 70)):
        return "brown"
    if 72 <= tone.hue < 95 and (tone.L < 51 or (tone.chroma < 35 and tone.L < 70)):
        return "brown"
    reddish = tone.hue >= 340 or tone.hue < 42
    peach = 42 <= tone.hue < 72 and tone.L >= 70 and tone.chroma < 30
    return "pink" if (reddish and tone.L >= 58) or peach else ""


def _by_hue(tone: Lch) -> str:
    """Bands of the hue circle; dark greenish yellows are olives, found under green, and
    the purest blues lean towards violet in CIELAB."""
    if 95 <= tone.hue < 108 and tone.L < 56:
        return "green"
    if 298 <= tone.hue < 308 and tone.chroma > 50:
        return "blue"
    bands = (42, "red"), (72, "orange"), (108, "yellow"), (205, "green"), (298, "blue")
    for end, word in bands:
        if tone.hue < end:
            return word
    return "purple" if tone.hue < 340 else "red"


def _shown(wanted: Lch) -> Lab:
    """The colour at the greatest chroma, up to its own, that sRGB can show."""
    if shows(from_lch(wanted)):
        return from_lch(wanted)
    low, high = 0.0, wanted.chroma
    for _ in range(16):
        middle = (low + high) / 2
        if shows(from_lch(Lch(wanted.L, middle, wanted.hue))):
            low = middle
        else:
            high = middle
    return from_lch(Lch(wanted.L, low, wanted.hue))
