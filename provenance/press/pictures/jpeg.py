"""The pixels of a JPEG, with an ear for what its decoder warns of.

In: a JPEG's bytes and how large it is wanted. Out: pixels. libjpeg (ITU-T T.81) fills what is lost
in the middle of a file with grey and goes on: it only warns, and most readers hide that. The
warnings heard here are those of pixels that were lost; others (a profile in disorder, an unknown
marker) harm nothing. A few bytes between the last pixel and the end marker, as some phones write
them, are none either. What a decoder can't know is not told: a bit that flipped into other
numbers that can be read.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL.Image import Image

# How Pillow calls the pixels of a file, what the decoder is asked for, how Pillow then reads that
# (CMYK is written the wrong way round, as Adobe once began).
_COLOURS = {"RGB": ("RGB", "RGB"), "L": ("GRAY", "L"), "CMYK": ("CMYK", "CMYK;I")}
# Messages of libjpeg (jerror.h): HIT_MARKER, HUFF_BAD_CODE, ARITH_BAD_CODE, MUST_RESYNC,
# EXTRANEOUS_DATA, JPEG_EOF.
_LOST = re.compile(
    r"Corrupt JPEG data: (premature end|bad Huffman|bad arithmetic|found marker|\d+ extraneous)"
    r"|Premature end of JPEG"
)
_FILLING = re.compile(r"(\d+) extraneous bytes before marker 0xd9")
_MOST_FILLING = 64  # bytes

Size = tuple[int, int]


def decoded(content: bytes, mode: str, size: Size, wanted: Size) -> Image | None:
    """The pixels at a half, a quarter or an eighth of `size`, never below `wanted` on either side.

    Raises OSError where pixels are lost; None is what only another decoder can read.
    """
    from PIL import Image
    from simplejpeg import decode_jpeg  # type: ignore[import-untyped]

    if mode not in _COLOURS:
        return None
    asked, raw = _COLOURS[mode]
    part = _part(size, wanted)
    wide, high = (-(-side // part) for side in size)
    try:
        rows = decode_jpeg(content, asked, min_width=wide, min_height=high)
    except ValueError as error:
        if _tells_of_loss(str(error)):
            raise OSError(str(error)) from error
        return None
    high, wide = rows.shape[:2]
    return Image.frombuffer(mode, (wide, high), rows, "raw", raw, 0, 1)


def _part(size: Size, wanted: Size) -> int:
    least = min(size[0] // wanted[0], size[1] // wanted[1])
    return next(part for part in (8, 4, 2, 1) if part <= max(1, least))


def _tells_of_loss(warning: str) -> bool:
    filling = _FILLING.search(warning)
    if filling:
        return int(filling[1]) > _MOST_FILLING
    return bool(_LOST.search(warning))
