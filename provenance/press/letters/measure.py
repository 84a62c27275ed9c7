"""How wide words are, and where lines end, before anything is printed.

In: text, a face, a size in points, a width in millimetres. Out: widths and lines. Widths are the
advances that stand in the fonts themselves, without kerning, which only draws letters together:
what fits here fits on paper.
"""

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import lru_cache

from provenance.press.letters.faces import FACES, SANS, SERIF, Measures, measures_of, upright_face

POINT = Fraction(254, 720)  # millimetres


@lru_cache(maxsize=len(FACES))
def upright(family: str, weight: int) -> Measures:
    """The measures of an upright face."""
    return measures_of(upright_face(family, weight))


@lru_cache(maxsize=65536)
def width(text: str, family: str, weight: int) -> int:
    """Width of a line in thousandths of the size; signs of the other family are found there."""
    own = upright(family, weight).advances
    other = upright(SERIF if family == SANS else SANS, 400).advances
    return sum(own.get(ord(sign), other.get(ord(sign), 1000)) for sign in text)


def width_mm(text: str, face: tuple[str, int], size: Fraction) -> Fraction:
    """Width of a line in millimetres, at a size in points."""
    return Fraction(width(text, *face)) * size * POINT / 1000


@lru_cache(maxsize=8192)
def lines_of(text: str, face: tuple[str, int], size: Fraction, room: Fraction) -> tuple[str, ...]:
    """The text in lines no wider than `room` millimetres; a word that is wider is divided."""
    return _lines(text, face, _units(size, room))


@lru_cache(maxsize=8192)
def balanced(text: str, face: tuple[str, int], size: Fraction, room: Fraction) -> tuple[str, ...]:
    """The same number of lines, as even as they can be: for titles."""
    most = _units(size, room)
    best = _lines(text, face, most)
    for part in range(19, 9, -1) if len(best) > 1 else ():
        tried = _lines(text, face, most * part // 20)
        if len(tried) > len(best) or any(len(word) > 1 for word in _divided(text, tried)):
            break
        best = tried
    return best


def _lines(text: str, face: tuple[str, int], most: int) -> tuple[str, ...]:
    return tuple(
        line
        for paragraph in text.split("\n")
        for line in _filled(_pieces(paragraph, face, most), face, most)
    )


def _divided(text: str, lines: tuple[str, ...]) -> Iterator[str]:
    """Words that were cut in two to make the lines."""
    whole = text.split()
    yield from (word for line in lines for word in line.split() if word not in whole)


def _units(size: Fraction, room: Fraction) -> int:
    return int(room * 1000 / (size * POINT))


# A number keeps its unit or sign, and the sides of a size keep their cross.
_BREAK = re.compile(
    r"(?<![×\d])(?<!\b[HWD]) (?![×])|(?<=\d) (?!(?:%|cm|mm|in|kg|g|lb|oz|h|×)\b|%|×|\d/\d)"
)


def _pieces(text: str, face: tuple[str, int], most: int) -> Iterator[str]:
    for word in _BREAK.split(" ".join(text.split())):
        while width(word, *face) > most:
            cut = next(n for n in range(len(word), 0, -1) if n == 1 or _fits(word[:n], face, most))
            if cut == len(word):
                break
            yield word[:cut]
            word = word[cut:]
        yield word


def _fits(text: str, face: tuple[str, int], most: int) -> bool:
    return width(text, *face) <= most


def _filled(words: Iterable[str], face: tuple[str, int], most: int) -> Iterator[str]:
    line = ""
    for word in words:
        longer = f"{line} {word}" if line else word
        if line and not _fits(longer, face, most):
            yield line
            line = word
        else:
            line = longer
    if line:
        yield line
