"""The public pictures of one photo: a ladder of sizes, each within the bytes it may weigh.

In: the largest picture, upright and in sRGB, the boxes wanted, the credit. Out: files. Each size
is made from the one above it. A quarter of its rows is made a JPEG first: how heavy that is tells
how heavy any file will be, so that as a rule each is encoded once, at the best of its qualities
that keeps within its bytes; one that is too heavy all the same is made again, lower.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from provenance.press.pictures.developing import resized

if TYPE_CHECKING:
    from PIL.Image import Image

# Bytes a picture of a width may weigh, so that the first view of a page stays within 300 KB with
# its words and letters.
_MOST_BYTES = ((480, 60_000), (960, 130_000), (1600, 200_000))
# What an AVIF of a quality weighs beside a JPEG of quality 80, and how far down from a JPEG of 80
# to one of 40 another lies (in logarithms): measured on photographs of cloth at all three widths. A
# single AVIF may weigh a fifth more or less; rows tell a JPEG within a twentieth.
_AVIF = ((55, 0.43), (50, 0.36), (45, 0.29), (40, 0.23), (36, 0.19), (28, 0.14), (20, 0.11))
_JPEG = ((80, 0.0), (70, 0.33), (60, 0.58), (50, 0.79), (40, 1.0), (30, 1.26), (22, 1.55))
_USUAL = 0.48
_MARGINS = {"avif": 1.12, "jpeg": 1.05}
_ROWS, _EVERY = 16, 64  # pixels; a JPEG is made of squares of 16
_FRAME = 620  # bytes of a JPEG that are not pixels
# Measured on photographs of cloth, 1600 wide: AVIF at speed 9 takes 0.1 s, weighs a third less
# than WebP and half of JPEG; slower AVIF saves another tenth for four times the time. One thread
# each: the cores work on several photos at once.
_SETTINGS: dict[str, dict[str, Any]] = {
    "avif": {"speed": 9, "max_threads": 1},
    "jpeg": {"optimize": True, "progressive": True},
}


Shares = tuple[tuple[int, float], ...]


@dataclass(frozen=True, slots=True)
class Rendition:
    """One picture of a photo: size in pixels, format (avif, jpeg, png) and the file's bytes."""

    width: int
    height: int
    format: str
    content: bytes


def ladder(
    largest: Image, boxes: Sequence[tuple[int, int]], formats: Sequence[str], xmp: bytes
) -> tuple[Rendition, ...]:
    """A picture for each box and format, smallest first; `largest` has the size of the last box."""
    image, steps = largest, []
    for box in reversed(boxes):
        image = resized(image, box)
        steps.append(tuple(_files(image, formats, xmp)))
    return tuple(each for step in reversed(steps) for each in step)


def _files(image: Image, formats: Sequence[str], xmp: bytes) -> Iterator[Rendition]:
    most = next(most for width, most in _MOST_BYTES if image.width <= width)
    rows = _rows(image)
    part = rows.height / image.height
    fine = _pixels_weigh(rows, 80) / part
    for kind in formats:
        shares: Shares = _AVIF
        if kind == "jpeg":
            is_tight = fine * _MARGINS[kind] > most
            low = _pixels_weigh(rows, 40) / part / fine if is_tight else _USUAL
            shares = tuple((quality, low**way) for quality, way in _JPEG)
        yield Rendition(*image.size, kind, _within(image, (kind, shares), most, fine, xmp))


def _within(image: Image, how: tuple[str, Shares], most: int, fine: float, xmp: bytes) -> bytes:
    """The picture at the best quality that is likely to keep within its bytes, and then does."""
    kind, shares = how
    last = len(shares) - 1
    foretold = (share * fine * _MARGINS[kind] + len(xmp) + _FRAME for _, share in shares)
    step = next((n for n, weight in enumerate(foretold) if weight <= most), last)
    while True:
        content = _public(image, kind, shares[step][0], xmp)
        if len(content) <= most or step == last:
            return content
        # The next share that is as much smaller as this picture was too heavy.
        wanted = shares[step][1] * most / len(content)
        step = next((n for n in range(step + 1, last) if shares[n][1] <= wanted), last)


def _rows(image: Image) -> Image:
    """A few rows of pixels in every 64, one below the other."""
    from PIL import Image

    tops = range(_EVERY // 2 if image.height > _EVERY else 0, image.height, _EVERY)
    rows = Image.new("RGB", (image.width, _ROWS * len(tops)))
    for number, top in enumerate(tops):
        rows.paste(image.crop((0, top, image.width, top + _ROWS)), (0, _ROWS * number))
    return rows


def _pixels_weigh(rows: Image, quality: int) -> int:
    """What the pixels of a JPEG weigh, in bytes, without what stands around them."""
    return max(1, len(saved(rows, "JPEG", quality=quality, optimize=True)) - _FRAME)


def _public(image: Image, kind: str, quality: int, xmp: bytes) -> bytes:
    return saved(image, kind.upper(), quality=quality, xmp=xmp, **_SETTINGS[kind])


def saved(image: Image, kind: str, **settings: Any) -> bytes:
    """The bytes of a file of this kind."""
    into = io.BytesIO()
    image.save(into, kind, **settings)
    return into.getvalue()
