"""Every QR code on a finished paper is read where it is printed before the paper is let out.

In: the bytes of a PDF and the codes that must be on it. Out: how many there are, or a Slip that
names the code that is missing, changed, foreign, cut off by the page's edge, or printed too small.
PDFium draws the page as a printer does, zxing-cpp reads it as a phone does; neither shares anything
with the libraries that wrote the paper. Smallest module 0.45 mm (our own rule, from decoding
trials at 300 dpi with blur and noise); 4 clear modules (ISO/IEC 18004).
"""

from __future__ import annotations

import io
import math
from collections import Counter
from collections.abc import Collection, Iterator
from contextlib import closing
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from provenance.press.codes.qr import CLEAR, LEAST_MODULE_MM, Code
from provenance.problems import Said, Slip

if TYPE_CHECKING:
    from PIL.Image import Image

_POINTS_A_MM = 72 / 25.4
_PIXELS_A_POINT = 300 / 72
_PIXELS_A_MODULE = 6  # as many as a module of half a millimetre has on the drawn page
_HAIR = 0.005  # of a millimetre, or of a point: what rounding in the file may cost
_DARK = 128
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class _Found:
    """A picture that looks like a code: as the file has it, and as the drawn page shows it.

    `corners` are its lower left, lower right, upper left and upper right, in points.
    """

    page: int
    picture: Image
    printed: Image
    corners: tuple[Point, Point, Point, Point]
    is_whole: bool


def check_codes(
    content: bytes, codes: Collection[Code], pages: Collection[int] | None = None
) -> int:
    """How many codes are drawn, all of them right; Slip when one is not.

    `pages`, from 1, are those to look at; without, all.
    """
    expected: dict[str, list[Code]] = {}
    for code in codes:
        expected.setdefault(code.address, []).append(code)
    seen: Counter[str] = Counter()
    for found in _found(content, pages):
        said = _text(found.printed)
        address = said or _text(_enlarged(found.picture))
        if not address:
            raise Slip(Said("qr.damaged", page=found.page))
        if address not in expected:
            raise Slip(Said("qr.foreign", page=found.page, address=address))
        _check_place(found, address)
        _check_edge(found)
        if not said or not any(_is_as_wanted(found.printed, code) for code in expected[address]):
            raise Slip(Said("qr.damaged", page=found.page))
        seen[address] += 1
    for address in sorted(expected.keys() - seen.keys()):
        raise Slip(Said("qr.missing", address=address))
    return seen.total()


def addresses_on(content: bytes) -> Iterator[str]:
    """What the codes of a finished paper say, for one that tells it no other way."""
    for found in _found(content, None):
        if said := _text(found.printed) or _text(_enlarged(found.picture)):
            yield said


def _found(content: bytes, asked: Collection[int] | None) -> Iterator[_Found]:
    """The codes of each page that is asked for; no other is opened, and none without is drawn."""
    import pypdfium2  # type: ignore[import-untyped]
    from pypdfium2.raw import FPDF_PAGEOBJ_IMAGE  # type: ignore[import-untyped]

    with closing(pypdfium2.PdfDocument(content)) as document:
        for number in range(1, len(document) + 1) if asked is None else sorted(asked):
            page = document[number - 1]
            pictures = page.get_objects([FPDF_PAGEOBJ_IMAGE], max_depth=20)
            codes = [picture for picture in pictures if _looks_like_a_code(picture)]
            drawn = page.render(scale=_PIXELS_A_POINT, grayscale=True).to_pil() if codes else None
            for code in codes:
                yield _at(number, code, drawn, page.get_mediabox())


def _looks_like_a_code(picture: Any) -> bool:
    from pypdfium2.raw import FPDF_COLORSPACE_DEVICEGRAY

    width, height = picture.get_px_size()
    side = width - 2 * CLEAR
    if width != height or (side - 17) % 4 or not 21 <= side <= 57:
        return False
    about = picture.get_metadata()
    return bool(about.colorspace == FPDF_COLORSPACE_DEVICEGRAY and about.bits_per_pixel == 8)


def _at(page: int, code: Any, drawn: Any, box: tuple[float, float, float, float]) -> _Found:
    matrix, holder = code.get_matrix(), code.container
    while holder:
        matrix, holder = matrix.multiply(holder.get_matrix()), holder.container
    corners = tuple(matrix.on_point(*corner) for corner in ((0, 0), (1, 0), (0, 1), (1, 1)))
    left, bottom, right, top = box
    is_whole = all(
        left - _HAIR <= x <= right + _HAIR and bottom - _HAIR <= y <= top + _HAIR
        for x, y in corners
    )
    pixels = [((x - left) * _PIXELS_A_POINT, (top - y) * _PIXELS_A_POINT) for x, y in corners]
    picture = code.get_bitmap().to_pil()
    return _Found(page, picture, _upright(drawn, pixels, picture.width), corners, is_whole)


def _upright(drawn: Image, corners: list[Point], side: int) -> Image:
    """The code cut out of the drawn page, however it lies there."""
    from PIL.Image import Transform

    low, _, (x, y), high = corners
    pixels = side * _PIXELS_A_MODULE
    across = [(to - start) / pixels for to, start in zip(high, (x, y), strict=True)]
    down = [(to - start) / pixels for to, start in zip(low, (x, y), strict=True)]
    places = (across[0], down[0], x, across[1], down[1], y)
    return drawn.transform((pixels, pixels), Transform.AFFINE, places, fillcolor=255)


def _enlarged(picture: Image) -> Image:
    from PIL.Image import Resampling

    side = picture.width * _PIXELS_A_MODULE
    return picture.resize((side, side), Resampling.NEAREST)


def _text(picture: Image) -> str:
    """What a reader of codes makes of a picture; nothing where it finds no code."""
    import zxingcpp

    kind = zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)
    found = zxingcpp.read_barcode(picture, formats=kind)
    return found.text if found else ""


def _check_place(found: _Found, address: str) -> None:
    low, right, high, _ = found.corners
    wide, tall = math.dist(low, right) / _POINTS_A_MM, math.dist(low, high) / _POINTS_A_MM
    if abs(wide - tall) > wide / 100:
        sides = {"width": f"{wide:.1f}", "height": f"{tall:.1f}"}
        raise Slip(Said("qr.stretched", address=address, **sides))
    side = found.picture.width
    if (wide + _HAIR) / side < float(LEAST_MODULE_MM):
        what = Said("qr.too_small", address=address, width=f"{wide:.1f}")
        raise Slip(what, Said("qr.larger", side=side * LEAST_MODULE_MM))
    if not found.is_whole:
        raise Slip(Said("qr.over_edge", address=address, page=found.page))


def _check_edge(found: _Found) -> None:
    """Half a module is left out on either side: the drawn page rounds to its own pixels."""
    edge, clear, slack = found.printed.copy(), CLEAR * _PIXELS_A_MODULE, _PIXELS_A_MODULE // 2
    edge.paste(255, (clear - slack,) * 2 + (edge.width - clear + slack,) * 2)
    if any(edge.crop((slack,) * 2 + (edge.width - slack,) * 2).histogram()[:_DARK]):
        raise Slip(Said("qr.not_clear", page=found.page))


def _is_as_wanted(printed: Image, code: Code) -> bool:
    """Whether each module is what it should be: a reader forgives some, but those are for dirt."""
    from PIL import Image

    with Image.open(io.BytesIO(code.png)) as wanted:
        modules = printed.resize(wanted.size, Image.Resampling.BOX)
        return modules.point(lambda grey: 255 * (grey >= _DARK)).tobytes() == wanted.tobytes()
