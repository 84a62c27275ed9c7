"""How large, and how black, the letters of a paper are; read by PDFium, which did not make it."""

from __future__ import annotations

from ctypes import byref, c_uint
from typing import Any

import pypdfium2
from pypdfium2 import raw


def sizes_on(page: Any) -> dict[float, str]:
    """Points -> the signs set in them."""
    text, matrix = page.get_textpage(), raw.FS_MATRIX()
    found: dict[float, str] = {}
    for at in range(text.count_chars()):
        if (sign := text.get_text_range(at, 1)).strip():
            raw.FPDFText_GetMatrix(text, at, matrix)
            turned = max(abs(matrix.d), abs(matrix.b))
            size = round(raw.FPDFText_GetFontSize(text, at) * turned, 1)
            found[size] = found.get(size, "") + sign
    return found


def smallest(content: bytes) -> float:
    """The smallest letters of a paper, in points."""
    with pypdfium2.PdfDocument(content) as document:
        return min(size for page in document for size in sizes_on(page))


def palest(content: bytes) -> int:
    """The palest letters of a paper: their lightest channel, 0 for black, 255 for none."""
    with pypdfium2.PdfDocument(content) as document:
        return max(max(_colours_on(page), default=0) for page in document)


def _colours_on(page: Any) -> list[int]:
    text, found = page.get_textpage(), []
    red, green, blue, opaque = c_uint(), c_uint(), c_uint(), c_uint()
    for at in range(text.count_chars()):
        if text.get_text_range(at, 1).strip():
            raw.FPDFText_GetFillColor(
                text, at, byref(red), byref(green), byref(blue), byref(opaque)
            )
            found.append(max(red.value, green.value, blue.value))
    return found
