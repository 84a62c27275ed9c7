"""The letters of every page and paper: Source Sans Pro and Source Serif Pro, under our own names.

In: the faces. Out: their rules for papers, small WOFF2 files with their stylesheet for the site,
and the characters that cannot be printed. The fonts are under
the SIL Open Font License 1.1, whose reserved name ("Source") may not stand on a changed copy: the
cut-down site files are called Studio Sans and Studio Serif and keep copyright and licence inside.
"""

import base64
import io
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from provenance.press.letters.faces import (
    FACES,
    SANS,
    SERIF,
    Face,
    face_path,
    measures_of,
    upright_face,
)

# Without width or ink, or with a twin that the fonts do hold: written as that twin.
_TWINS = {0x202F: "\u00a0", 0x2011: "\u2010"} | dict.fromkeys(
    (0x200B, 0x200C, 0x200D, 0x2060, 0xFEFF, 0xFE0E, 0xFE0F), ""
)
# The first file of each face: English and its western neighbours, and the signs of these pages.
_NEAR = frozenset(
    {*range(0x20, 0x7F), *range(0xA0, 0x100), 0x131, 0x152, 0x153, 0x2010}
    | {0x2013, 0x2014, 0x2018, 0x2019, 0x201A, 0x201C, 0x201D, 0x201E, 0x2022, 0x2026, 0x2030}
    | {0x2032, 0x2033, 0x2039, 0x203A, 0x2044, 0x20AC, 0x2116, 0x2122, 0x2190, 0x2191, 0x2192}
    | {0x2193, 0x2212, 0x2248, 0x2264, 0x2265}
)
# The second, fetched only by pages that need it: the rest of Latin, Greek, accents, signs.
_FAR = frozenset(
    {*range(0x100, 0x250), *range(0x2B0, 0x400), *range(0x1E00, 0x1F00), *range(0x2000, 0x20C0)}
    | {*range(0x2150, 0x2160), *range(0x2200, 0x2270), 0x2610, 0x2611, 0x2713}
) - frozenset(_NEAR)
_SITE_FILES = {
    f"{face.name}-{part}.woff2": (face, signs)
    for face in FACES
    if (face.family, face.weight) != (SERIF, 600)
    for part, signs in (("near", _NEAR), ("far", _FAR))
}
_FEATURES = ["kern", "liga", "locl", "mark", "mkmk", "ccmp", "tnum", "lnum", "frac", "sups"]


def printable(text: str) -> str:
    """The text with invisible joiners dropped and narrow spaces and hyphens as plain ones."""
    return text.translate(_TWINS)


def missing_characters(text: str) -> set[str]:
    """The characters that neither family holds: a paper with one of them is not printed."""
    return {sign for sign in set(text) if ord(sign) not in _held() and not sign.isspace()}


def paper_css(folder: str) -> str:
    """`@font-face` rules for papers, whose files are asked for as `folder/NAME.ttf`."""
    rules = [_rule(face, f"{folder}/{face.name}.ttf", "") for face in FACES]
    return "\n".join([*rules, f'html{{font-family:"{SANS}","{SERIF}"}}'])


@dataclass(frozen=True, slots=True)
class Cut:
    """A face cut down for a paper: its file, and for each sign its glyph and its width in
    thousandths; heights over the baseline in thousandths; the box of all glyphs."""

    content: bytes
    glyphs: dict[int, int]
    widths: dict[int, int]
    ascent: int
    descent: int
    capital: int
    box: tuple[int, int, int, int]


@lru_cache(maxsize=4)
def cut_for_paper(more: frozenset[int] = frozenset()) -> Cut:
    """The upright sans with the near signs and some more, for papers that are drawn by us; about a
    quarter of a second, once. A sign it does not hold is not among its glyphs."""
    from fontTools import subset  # type: ignore[import-untyped]
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    face = upright_face(SANS, 400)
    options = subset.Options(
        hinting=False, layout_features=[], name_IDs=[], notdef_outline=True,
        recalc_timestamp=False, glyph_names=False,
        drop_tables=["GSUB", "GPOS", "GDEF", "BASE", "DSIG", "kern", "post", "name"],
    )  # fmt: skip
    cutter, into = subset.Subsetter(options), io.BytesIO()
    cutter.populate(unicodes=_NEAR | more)
    with TTFont(face_path(face), lazy=True, recalcTimestamp=False) as font:
        cutter.subset(font)
        font.save(into)
    with TTFont(io.BytesIO(into.getvalue())) as font:
        return _measured(font, into.getvalue())


def _measured(font: Any, content: bytes) -> Cut:
    scale, head = 1000 / font["head"].unitsPerEm, font["head"]
    names, order = font.getBestCmap(), font.getReverseGlyphMap()
    advances = font["hmtx"].metrics
    return Cut(
        content,
        {sign: order[name] for sign, name in names.items()},
        {sign: round(advances[name][0] * scale) for sign, name in names.items()},
        round(font["hhea"].ascent * scale),
        round(font["hhea"].descent * scale),
        round(font["OS/2"].sCapHeight * scale),
        (round(head.xMin * scale), round(head.yMin * scale),
         round(head.xMax * scale), round(head.yMax * scale)),
    )  # fmt: skip


def site_font_names() -> tuple[str, ...]:
    """The site's font files, two for each face: the near signs and the far ones."""
    return tuple(_SITE_FILES)


@lru_cache(maxsize=32)
def site_font(name: str) -> bytes:
    """One of the site's font files; takes about a quarter of a second, so keep it between builds.

    It depends on nothing but the installed fonts, fontTools and this module.
    """
    return _cut(*_SITE_FILES[name])


def site_font_css(addresses: Mapping[str, str] = MappingProxyType({})) -> str:
    """The site's `@font-face` rules; a font file is asked for at its address, else by its name."""
    rules = []
    for name, (face, signs) in _SITE_FILES.items():
        held = _ranges(signs & measures_of(face).advances.keys())
        more = f"font-display:swap;unicode-range:{held};"
        rules.append(_rule(face, addresses.get(name, name), more))
    return "\n".join(rules) + "\n"


def css_inside(letters: Mapping[str, bytes]) -> str:
    """`@font-face` rules for a page that holds its letters itself: those of the site's font files
    that are given."""
    rules = []
    for rule in site_font_css().splitlines():
        for name, content in letters.items():
            if f'"{name}"' in rule:
                held = base64.b64encode(content).decode()
                rules.append(rule.replace(f'"{name}"', f'"data:font/woff2;base64,{held}"'))
    return "\n".join(rules)


def _rule(face: Face, address: str, more: str) -> str:
    return (
        f'@font-face{{font-family:"{face.family}";font-weight:{face.weight};'
        f'font-style:{face.style};{more}src:url("{address}")}}'
    )


@lru_cache(maxsize=1)
def _held() -> frozenset[int]:
    upright = [face for face in FACES if face.weight == 400 and face.style == "normal"]
    return frozenset().union(*(measures_of(face).advances for face in upright))


def _cut(face: Face, signs: Iterable[int]) -> bytes:
    from fontTools import subset

    options = subset.Options(
        flavor="woff2",
        hinting=False,
        layout_features=_FEATURES,
        notdef_outline=True,
        recalc_timestamp=False,
    )
    cutter, into = subset.Subsetter(options), io.BytesIO()
    cutter.populate(unicodes=signs)
    with subset.load_font(face_path(face), options) as font:
        names = font["name"]
        del font["name"]  # else every rule of the font is searched for names it asks for
        cutter.subset(font)
        font["name"] = _named(names, face)
        subset.save_font(font, into, options)
    return into.getvalue()


def _named(names: Any, face: Face) -> Any:
    """Names of the font's own: copyright and licence stay (OpenType, table `name`: 0, 13, 14)."""
    names.names = [each for each in names.names if each.nameID in (0, 13, 14)
                   and each.isUnicode() and each.langID == 0x409]  # fmt: skip
    full = face.name.replace("-", " ").title()
    for number, text in ((1, full), (2, "Regular"), (4, full), (6, full.replace(" ", "-"))):
        names.setName(text, number, 3, 1, 0x409)
    return names


def _ranges(signs: Iterable[int]) -> str:
    """As CSS writes them: {32, 33, 34, 160} -> 'U+20-22,U+A0'."""
    runs: list[tuple[int, int]] = []
    for sign in sorted(signs):
        if runs and sign == runs[-1][1] + 1:
            runs[-1] = (runs[-1][0], sign)
        else:
            runs.append((sign, sign))
    return ",".join(f"U+{a:X}" if a == b else f"U+{a:X}-{b:X}" for a, b in runs)
