"""From the pixels a file holds to upright pixels in sRGB, eight bits a channel.

In: an open Pillow image of any kind a camera or scanner writes. Out: pixels for `pictures`, its
only caller. Orientation: EXIF (CIPA DC-008) tag 0x0112; a HEIC says it in its own way (`irot`,
`imir`; ISO/IEC 23008-12), which holds in place of EXIF's. Transparency is laid on white, as paper
is.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from provenance.press.pictures.jpeg import decoded
from provenance.press.pictures.profiles import EXPORT, in_srgb, profile_of
from provenance.problems import Said, Slip

if TYPE_CHECKING:
    from pathlib import Path

    from PIL.Image import Image

_SIDEWAYS = (5, 6, 7, 8)
_ORIENTATION = 0x0112


def develop(image: Image, path: Path, box: tuple[int, int], name: str, *, spare: int = 2) -> Image:
    """The upright sRGB pixels of an open photo, scaled to `box`, and nothing else of the file.

    A JPEG is decoded at the smallest half, quarter or eighth that is still `spare` times as large.
    """
    lying = (box[1], box[0]) if lies_on_its_side(image) else box
    profile = profile_of(image, name)
    loaded = decode(image, path, (lying[0] * spare, lying[1] * spare), name)
    turn = image.getexif().get(_ORIENTATION) if image.format != "HEIF" else None
    upright = _turned(in_srgb(resized(loaded, lying), profile), turn)  # pixels of its own
    upright.info = {}
    return upright


def decode(image: Image, path: Path, wanted: tuple[int, int], name: str) -> Image:
    """Every pixel of an open photo read, a JPEG's at a scale not below `wanted`; OSError where
    some are lost. Eight bits a channel, transparency laid on white; CMYK, grey and Lab stay so."""
    if image.format in ("JPEG", "MPO"):
        found = decoded(path.read_bytes(), image.mode, image.size, wanted)
        if found:
            return found
        image.draft(None, wanted)
    return _eight_bit(image, name)


def lies_on_its_side(image: Image) -> bool:
    """Whether width and height swap; a TIFF and a HEIC come turned, and give their upright size."""
    return image.format not in ("TIFF", "HEIF") and image.getexif().get(_ORIENTATION) in _SIDEWAYS


def _turned(image: Image, orientation: int | None) -> Image:
    from PIL.Image import Transpose

    turns = {
        2: Transpose.FLIP_LEFT_RIGHT,
        3: Transpose.ROTATE_180,
        4: Transpose.FLIP_TOP_BOTTOM,
        5: Transpose.TRANSPOSE,
        6: Transpose.ROTATE_270,
        7: Transpose.TRANSVERSE,
        8: Transpose.ROTATE_90,
    }
    return image.transpose(turns[orientation]) if orientation in turns else image


def _eight_bit(image: Image, name: str) -> Image:
    image.load()
    if image.mode.startswith("I"):
        return image.convert("I").point(lambda value: value / 256).convert("L")
    if image.mode in ("RGB", "L", "CMYK", "LAB"):
        return image if "transparency" not in image.info else _on_white(image)
    if image.mode in ("1", "YCbCr"):
        return image.convert("L" if image.mode == "1" else "RGB")
    if image.mode in ("P", "PA", "LA", "La", "RGBA", "RGBa", "RGBX"):
        return _on_white(image)
    raise Slip(Said("picture.other_kind", name=name, kind=image.mode), EXPORT)


def _on_white(image: Image) -> Image:
    from PIL import Image

    layer = image.convert("RGBA")
    white = Image.new("RGBA", layer.size, "white")
    return Image.alpha_composite(white, layer).convert("RGB")


def resized(image: Image, box: tuple[int, int]) -> Image:
    """Scaled to `box` with a filter that keeps threads crisp and adds no moiré.

    Far larger pixels are averaged to no less than twice the box first: no eye tells them apart.
    """
    from PIL.Image import Resampling

    if image.size == box:
        return image
    return image.resize(box, Resampling.LANCZOS, reducing_gap=2.0)
