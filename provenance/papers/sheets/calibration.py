"""The printer page: is the print the right size, where does it fall, what still prints.

In: the public studio and the printer's shift. Out: one page with 100 mm rulers both ways, corner
marks, a cross in the middle to measure the printer's shift by, greys, hairlines and codes with
modules from 0.3 to 0.6 mm. The studio's own shift is applied, so that a second print shows whether
it is right.
"""

from collections.abc import Iterator
from fractions import Fraction

from provenance.language.phrases import decimal as plain
from provenance.papers.format import format_for
from provenance.papers.sheets.frame import Page, Paper, sheet_pdf
from provenance.press.codes.qr import CLEAR, Code, code_of, twice
from provenance.press.drawings.selvedge import bar_svg
from provenance.public.edge import stripes_of
from provenance.public.studio import PublicStudio

MODULES_MM = ("0.30", "0.35", "0.40", "0.45", "0.50", "0.55", "0.60")
LINES_MM = ("0.05", "0.1", "0.15", "0.2", "0.3", "0.5")
RULER_MM = 100
LEVEL_AT = (20.0, 52.0)
UPRIGHT_AT = (20.0, 66.0)
CORNER_MM = 5.0
_CORNER_LONG = 8.0
_CROSS_LONG = 16.0
_GREYS = range(10, 101, 10)


def calibration(studio: PublicStudio, shift: tuple[Fraction, Fraction]) -> Paper:
    """The page as `printer-page.pdf`."""
    width, height = format_for(studio).size_mm
    assets: dict[str, bytes | Code] = {
        "marks.svg": _marks(width, height).encode(),
        "hatching.svg": _hatching(),
    }
    codes = []
    for module in MODULES_MM:
        code = code_of(f"MODULE {module} MM")
        assets[f"code-{module}.png"] = twice(code)
        side = (code.modules + 2 * CLEAR) * Fraction(module)
        codes.append({"module": module, "side": plain(side, 3)})
    page = Page(
        "calibration",
        studio.phrases.say("sheet.calibration"),
        {
            "width": width,
            "height": height,
            "shift": [plain(each, 3) for each in shift],
            "shift_words": _shift_words(studio, shift),
            "across": plain(Fraction(str(width)) / 2, 2),
            "down": plain(Fraction(str(height)) / 2, 2),
            "level": LEVEL_AT,
            "upright": UPRIGHT_AT,
            "tens": range(0, RULER_MM + 1, 10),
            "greys": [(share, 255 - round(share * 2.55)) for share in _GREYS],
            "lines": LINES_MM,
            "codes": codes,
        },
        assets=assets,
    )
    return Paper("printer-page.pdf", sheet_pdf(studio, page), page.title)


def _shift_words(studio: PublicStudio, shift: tuple[Fraction, Fraction]) -> str:
    """1.5 mm right, 1 mm up; or that nothing is shifted."""
    (right, down), say = shift, studio.phrases.say
    ways = (("right" if right > 0 else "left", right), ("down" if down > 0 else "up", down))
    parts = [say(f"sheet.shift_{way}", mm=plain(abs(by), 2)) for way, by in ways if by]
    return ", ".join(parts) or say("sheet.offset_none")


def _marks(width: float, height: float) -> str:
    """Rulers, corners and cross in millimetres, as one drawing of the whole sheet."""
    lines = [*_ruler(), *_corners(width, height), *_cross(width / 2, height / 2)]
    drawn = "".join(
        f'<line x1="{x1:g}" y1="{y1:g}" x2="{x2:g}" y2="{y2:g}"/>' for x1, y1, x2, y2 in lines
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}mm" height="{height:g}mm" '
        f'viewBox="0 0 {width:g} {height:g}"><g stroke="#000" stroke-width="0.1" fill="none">'
        f'{drawn}<circle cx="{width / 2:g}" cy="{height / 2:g}" r="4"/></g></svg>'
    )


def _ruler() -> Iterator[tuple[float, float, float, float]]:
    (x, y), (left, top) = LEVEL_AT, UPRIGHT_AT
    yield x, y, x + RULER_MM, y
    yield left, top, left, top + RULER_MM
    for mm in range(RULER_MM + 1):
        long = 4.0 if mm % 10 == 0 else 2.8 if mm % 5 == 0 else 1.6
        yield x + mm, y, x + mm, y - long
        yield left, top + mm, left + long, top + mm


def _corners(width: float, height: float) -> Iterator[tuple[float, float, float, float]]:
    for x, way_x in ((CORNER_MM, 1), (width - CORNER_MM, -1)):
        for y, way_y in ((CORNER_MM, 1), (height - CORNER_MM, -1)):
            yield x, y, x + way_x * _CORNER_LONG, y
            yield x, y, x, y + way_y * _CORNER_LONG


def _cross(x: float, y: float) -> Iterator[tuple[float, float, float, float]]:
    yield x - _CROSS_LONG, y, x + _CROSS_LONG, y
    yield x, y - _CROSS_LONG, x, y + _CROSS_LONG


def _hatching() -> bytes:
    """Six stripes, light to dark, as they look in black only."""
    greys = ("#e8e8e8", "#d8d8d8", "#909090", "#808080", "#303030", "#202020")
    stripes = stripes_of((grey, Fraction(1)) for grey in greys)
    return bar_svg(stripes, 60, 8, upright=False, black=True)
