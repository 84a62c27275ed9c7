"""The public pictures of one photo: a ladder of sizes, each within the bytes it may weigh.

In: the largest picture, upright and in sRGB, the boxes wanted, the credit. Out: files. Each size
is made from the one above it. A JPEG of quality 80 of each size is made first: how heavy it is
tells how heavy any other will be, so that as a rule each file is encoded once, at the best of its
qualities that keeps within its bytes; one that is too heavy all the same is made again, lower.
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
# Qualities, and what a picture weighs beside the JPEG of quality 80: measured on photographs of
# cloth at all three widths; a single one may weigh a fifth more or less.
_SHARES: dict[str, tuple[tuple[int, float], ...]] = {
    "avif": ((55, 0.43), (50, 0.36), (45, 0.29), (40, 0.23), (36, 0.19), (28, 0.14), (20, 0.11)),
    "jpeg": ((80, 1.0), (70, 0.77), (60, 0.65), (50, 0.56), (40, 0.48), (30, 0.40), (22, 0.33)),
}
_MARGIN = 1.12
# Measured on photographs of cloth, 1600 wide: AVIF at speed 9 takes 0.1 s, weighs a third less
# than WebP and half of JPEG; slower AVIF saves another tenth for four times the time. One thread
# each: the cores work on several photos at once.
_SETTINGS: dict[str, dict[str, Any]] = {
    "avif": {"speed": 9, "max_threads": 1},
    "jpeg": {"optimize": True, "progressive": True},
}


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
    probe = _public(image, "jpeg", 80, xmp)
    for kind in formats:
        is_probe = kind == "jpeg" and len(probe) <= most
        content = probe if is_probe else _within(image, kind, most, len(probe), xmp)
        yield Rendition(*image.size, kind, content)


def _within(image: Image, kind: str, most: int, probe: int, xmp: bytes) -> bytes:
    """The picture at the best quality that is likely to keep within its bytes, and then does."""
    shares = _SHARES[kind]
    last = len(shares) - 1
    fitting = (n for n, (_, share) in enumerate(shares) if share * probe * _MARGIN <= most)
    step = next(fitting, last)
    while True:
        content = _public(image, kind, shares[step][0], xmp)
        if len(content) <= most or step == last:
            return content
        # The next share that is as much smaller as this picture was too heavy.
        wanted = shares[step][1] * most / len(content)
        step = next((n for n in range(step + 1, last) if shares[n][1] <= wanted), last)


def _public(image: Image, kind: str, quality: int, xmp: bytes) -> bytes:
    return saved(image, kind.upper(), quality=quality, xmp=xmp, **_SETTINGS[kind])


def saved(image: Image, kind: str, **settings: Any) -> bytes:
    """The bytes of a file of this kind."""
    into = io.BytesIO()
    image.save(into, kind, **settings)
    return into.getvalue()
