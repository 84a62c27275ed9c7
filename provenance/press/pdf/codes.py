"""Every QR code on a finished paper is read back before the paper is let out.

In: the bytes of a PDF and the codes that must be on it. Out: nothing, or a Slip that names the
code that is missing, changed, foreign, cut off by the page's edge, or printed too small. The
codes are taken from the finished file by `pdf_reader` and read by `qr_reader`; neither shares
anything with the libraries that wrote them. Smallest module 0.45 mm (our own rule, from decoding
trials at 300 dpi with blur and noise); 4 clear modules (ISO/IEC 18004).
"""

from __future__ import annotations

import math
from collections.abc import Collection
from decimal import Decimal

from provenance.press.codes.qr import CLEAR, LEAST_MODULE_MM, Code
from provenance.press.codes.reader import read_matrix
from provenance.press.pdf.reader import Drawn, Pdf, grey_rows
from provenance.problems import Slip

_POINTS_A_MM = 72 / 25.4
_HAIR = 0.005  # of a millimetre, or of a point: what rounding in the file may cost


def check_codes(content: bytes, codes: Collection[Code]) -> int:
    """How many codes are drawn, all of them right; Slip when one is not."""
    pdf = Pdf(content)
    expected = {code.address for code in codes}
    seen: dict[str, int] = {}
    for drawn in pdf.drawn():
        rows = grey_rows(pdf, drawn.picture)
        if rows is None or not _looks_like_a_code(rows):
            continue
        address = _read(rows, drawn.page)
        if address not in expected:
            raise Slip(f"page {drawn.page} carries a code that should not be there: {address}")
        _check_place(drawn, len(rows), address)
        seen[address] = seen.get(address, 0) + 1
    for address in sorted(expected - seen.keys()):
        raise Slip(f"the code for {address} is not on the paper")
    return sum(seen.values())


def _looks_like_a_code(rows: list[bytes]) -> bool:
    side = len(rows)
    is_square = all(len(row) == side for row in rows)
    return is_square and (side - 2 * CLEAR - 17) % 4 == 0 and 21 <= side - 2 * CLEAR <= 57


def _read(rows: list[bytes], page: int) -> str:
    inner = slice(CLEAR, -CLEAR)
    edge = [row for at, row in enumerate(rows) if not CLEAR <= at < len(rows) - CLEAR]
    edge += [row[:CLEAR] + row[-CLEAR:] for row in rows]
    if any(value < 255 for row in edge for value in row):
        raise Slip(f"a code on page {page} has something in its clear edge")
    try:
        return read_matrix([[value < 128 for value in row[inner]] for row in rows[inner]])
    except Slip as slip:
        raise Slip(f"a code on page {page} cannot be read: {slip.what}") from slip


def _check_place(drawn: Drawn, side: int, address: str) -> None:
    a, b, c, d, e, f = drawn.matrix
    wide, high = math.hypot(a, b) / _POINTS_A_MM, math.hypot(c, d) / _POINTS_A_MM
    if abs(wide - high) > wide / 100:
        raise Slip(f"the code for {address} is stretched: {wide:.1f} by {high:.1f} mm")
    if (wide + _HAIR) / side < float(LEAST_MODULE_MM):
        need = Decimal(side) * LEAST_MODULE_MM
        raise Slip(
            f"the code for {address} is printed {wide:.1f} mm wide, too small to scan",
            f"give it {need.normalize()} mm at least",
        )
    left, bottom, right, top = drawn.box
    corners = [(e, f), (e + a, f + b), (e + c, f + d), (e + a + c, f + b + d)]
    if not all(
        left - _HAIR <= x <= right + _HAIR and bottom - _HAIR <= y <= top + _HAIR
        for x, y in corners
    ):
        raise Slip(f"the code for {address} runs over the edge of page {drawn.page}")
