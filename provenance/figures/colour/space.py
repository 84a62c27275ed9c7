"""Colour as numbers: sRGB, CIELAB, CIEDE2000.

In: sRGB colours as hex ("#6f7a38"). Out: L*, a*, b* (D65, 2 degree observer), their polar form,
and the difference of two colours. Rules: IEC 61966-2-1:1999 for sRGB, with its own four-digit
matrix and its own white (X 0.9505, Y 1, Z 1.0890, the matrix's row sums, so that greys are
exactly neutral); CIE 15 for L*a*b*; Sharma, Wu & Dalal, Color Research and Application 30 (2005)
21-30 for CIEDE2000. A seven-digit matrix moves a strong red by 0.02 in a* and b*.
"""

from functools import cache
from math import atan2, cos, degrees, exp, hypot, radians, remainder, sin, sqrt
from operator import mul
from typing import NamedTuple

from provenance.problems import Said, Slip

MATRIX = ((0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505))
WHITE = (0.9505, 1.0, 1.0890)
_EDGE = 216 / 24389  # CIE 15: below this share of white the cube root gives way to a line
_SLOPE = 24389 / 27


class Lab(NamedTuple):
    """A colour in CIELAB: lightness 0-100, green to red, blue to yellow."""

    L: float
    a: float
    b: float


class Lch(NamedTuple):
    """A colour in polar CIELAB: lightness, chroma, hue in degrees from 0 to 360."""

    L: float
    chroma: float
    hue: float


def channels(colour: str) -> tuple[int, int, int]:
    """Red, green and blue, 0-255, of '#6f7a38', '6f7a38' or '#fff'."""
    digits = colour.strip().removeprefix("#")
    if len(digits) == 3:
        digits = "".join(digit * 2 for digit in digits)
    if len(digits) != 6 or not all(digit in "0123456789abcdefABCDEF" for digit in digits):
        raise Slip(Said("find.no_colour", colour=colour), Said("find.write_colour"))
    return int(digits[:2], 16), int(digits[2:4], 16), int(digits[4:], 16)


def linear(channel: float) -> float:
    """Light of one sRGB channel (0-1 coded) as a share of full light; IEC 61966-2-1."""
    if channel <= 0.04045:
        return channel / 12.92
    return float(((channel + 0.055) / 1.055) ** 2.4)


@cache
def lab(colour: str) -> Lab:
    """CIELAB (D65) of an sRGB hex colour."""
    light = [linear(channel / 255) for channel in channels(colour)]
    x, y, z = (
        _bent(sum(map(mul, row, light)) / white) for row, white in zip(MATRIX, WHITE, strict=True)
    )
    return Lab(116 * y - 16, 500 * (x - y), 200 * (y - z))


def hex_of(colour: Lab) -> str:
    """The nearest sRGB hex colour; what the screen cannot show is clipped channel by channel."""
    return "#" + "".join(
        f"{round(255 * _coded(min(max(part, 0.0), 1.0))):02x}" for part in _light(colour)
    )


def shows(colour: Lab) -> bool:
    """Whether sRGB can show the colour without clipping (to a thousandth of full light)."""
    return all(-0.001 <= part <= 1.001 for part in _light(colour))


def lch(colour: Lab) -> Lch:
    """Lightness, chroma, hue angle."""
    hue = degrees(atan2(colour.b, colour.a)) % 360
    return Lch(colour.L, hypot(colour.a, colour.b), hue)


def from_lch(colour: Lch) -> Lab:
    """Back from the polar form."""
    angle = radians(colour.hue)
    return Lab(colour.L, colour.chroma * cos(angle), colour.chroma * sin(angle))


def delta_e(one: Lab, other: Lab) -> float:
    """CIEDE2000 with kL = kC = kH = 1: under 1 hardly seen, 2-3 seen side by side."""
    mean_chroma7 = ((hypot(one.a, one.b) + hypot(other.a, other.b)) / 2) ** 7
    stretch = 1.5 - 0.5 * sqrt(mean_chroma7 / (mean_chroma7 + 25.0**7))
    first = lch(Lab(one.L, one.a * stretch, one.b))
    second = lch(Lab(other.L, other.a * stretch, other.b))
    # The short way round and half of it (equations 10 and 14); where one is grey, the chroma of
    # nothing makes hues count for nothing.
    turn = remainder(second.hue - first.hue, 360)
    hue = (first.hue + turn / 2) % 360
    mean = Lch((first.L + second.L) / 2, (first.chroma + second.chroma) / 2, hue)
    by_lightness, by_chroma, by_hue = _weights(mean)
    d_light = (second.L - first.L) / by_lightness
    d_chroma = (second.chroma - first.chroma) / by_chroma
    d_hue = 2 * sqrt(first.chroma * second.chroma) * sin(radians(turn / 2)) / by_hue
    cross = _rotation(mean) * d_chroma * d_hue
    return sqrt(max(d_light**2 + d_chroma**2 + d_hue**2 + cross, 0.0))


def _weights(mean: Lch) -> tuple[float, float, float]:
    """S_L, S_C, S_H (equations 15 to 21)."""
    tone = (
        1
        - 0.17 * cos(radians(mean.hue - 30))
        + 0.24 * cos(radians(2 * mean.hue))
        + 0.32 * cos(radians(3 * mean.hue + 6))
        - 0.20 * cos(radians(4 * mean.hue - 63))
    )
    off_middle = (mean.L - 50) ** 2
    by_lightness = 1 + 0.015 * off_middle / sqrt(20 + off_middle)
    return by_lightness, 1 + 0.045 * mean.chroma, 1 + 0.015 * mean.chroma * tone


def _rotation(mean: Lch) -> float:
    """R_T, the turn between chroma and hue among the blues."""
    chroma7 = mean.chroma**7
    tilt = 30 * exp(-(((mean.hue - 275) / 25) ** 2))
    return -2 * sqrt(chroma7 / (chroma7 + 25.0**7)) * sin(radians(2 * tilt))


def _bent(share: float) -> float:
    return float(share ** (1 / 3)) if share > _EDGE else (_SLOPE * share + 16) / 116


def _straight(bent: float) -> float:
    cube = bent * bent * bent
    return cube if cube > _EDGE else (116 * bent - 16) / _SLOPE


def _coded(light: float) -> float:
    """The sRGB code (0-1) of a share of full light."""
    return float(12.92 * light if light <= 0.0031308 else 1.055 * light ** (1 / 2.4) - 0.055)


def _light(colour: Lab) -> tuple[float, ...]:
    """Red, green and blue light, not yet clipped."""
    y = (colour.L + 16) / 116
    bent = (y + colour.a / 500, y, y - colour.b / 200)
    xyz = [white * _straight(part) for white, part in zip(WHITE, bent, strict=True)]
    return tuple(sum(map(mul, row, xyz)) for row in _INVERSE)


def _inverted(m: tuple[tuple[float, ...], ...]) -> tuple[tuple[float, ...], ...]:
    """The inverse of a 3 x 3 matrix by cofactors (IEC's printed inverse is rounded)."""
    rows = [_crossed(m[turn - 2], m[turn - 1]) for turn in range(3)]
    whole = sum(map(mul, m[0], rows[0]))
    return tuple(tuple(part / whole for part in column) for column in zip(*rows, strict=True))


def _crossed(a: tuple[float, ...], b: tuple[float, ...]) -> list[float]:
    return [a[turn - 2] * b[turn - 1] - a[turn - 1] * b[turn - 2] for turn in range(3)]


_INVERSE = _inverted(MATRIX)
