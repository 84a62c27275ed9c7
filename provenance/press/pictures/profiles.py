"""What the colours of a photo mean, and the same colours in sRGB.

In: an open photo, its pixels. Out: pixels in sRGB, eight bits. An embedded profile (ICC.1) is
converted by LittleCMS. A HEIC may name its colours by numbers instead (ITU-T H.273, `nclx`):
primaries 12 are those of Display P3, the wide colours of phones; transfers 16 and 18 are high
dynamic range, which has no one look on paper and is refused.
"""

from __future__ import annotations

import io
import struct
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from provenance.problems import Said, Slip

if TYPE_CHECKING:
    from PIL.Image import Image

EXPORT = Said("picture.export")
_P3, _HIGH_RANGE = 12, (16, 18)
# Display P3 seen from the white of ICC profiles (D50, by Bradford): x, y, z of red, green, blue.
_P3_PRIMARIES = {
    b"rXYZ": (0.51512, 0.24120, -0.00105),
    b"gXYZ": (0.29198, 0.69225, 0.04189),
    b"bXYZ": (0.15710, 0.06657, 0.78407),
}


def profile_of(image: Image, name: str) -> bytes | None:
    """The profile a photo's colours are to be read by; none where they are sRGB already."""
    embedded: bytes | None = image.info.get("icc_profile")
    numbers: dict[str, Any] = image.info.get("nclx_profile") or {}
    if embedded:
        return embedded
    if numbers.get("transfer_characteristics") in _HIGH_RANGE:
        raise Slip(Said("picture.high_range", name=name), EXPORT)
    return _display_p3() if numbers.get("color_primaries") == _P3 else None


def in_srgb(image: Image, profile: bytes | None) -> Image:
    """In sRGB by way of the profile; a profile that cannot be read is left aside."""
    from PIL import ImageCms

    if profile:
        try:
            embedded = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            turned = ImageCms.profileToProfile(image, embedded, srgb(), outputMode="RGB")
            if turned is not None:
                return turned
        except (ImageCms.PyCMSError, OSError, ValueError):
            pass
    if image.mode == "LAB":
        lab = ImageCms.createProfile("LAB")
        return ImageCms.profileToProfile(image, lab, srgb(), outputMode="RGB") or image
    return image.convert("RGB")


@lru_cache(maxsize=1)
def srgb() -> Any:
    """The profile of sRGB."""
    from PIL import ImageCms

    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))


@lru_cache(maxsize=1)
def _display_p3() -> bytes:
    """Display P3 as a profile: that of sRGB, whose curve it shares, with its own primaries."""
    made = bytearray(srgb().tobytes())
    (count,) = struct.unpack_from(">I", made, 128)
    for row in range(count):
        tag, offset, _ = struct.unpack_from(">4sII", made, 132 + 12 * row)
        if tag in _P3_PRIMARIES:
            numbers = (round(part * 65536) for part in _P3_PRIMARIES[tag])
            struct.pack_into(">3i", made, offset + 8, *numbers)
    return bytes(made)
