"""What a picture that somebody hands in says of itself, without its pixels.

In: a file. Out: the ending that its bytes ask for, and whether it says where it was taken (EXIF GPS
IFD, tag 0x8825, with a latitude, tag 2, or a longitude, tag 4: CIPA DC-008 4.6.6; or XMP's
exif:GPSLatitude). No public picture of ours carries that on; the file itself keeps it.
"""

from dataclasses import dataclass
from pathlib import Path

from provenance.press.pictures.photos import opened

_ENDINGS = {
    "JPEG": ".jpg", "MPO": ".jpg", "PNG": ".png", "WEBP": ".webp", "TIFF": ".tif",
    "AVIF": ".avif", "HEIF": ".heic",
}  # fmt: skip
_GPS, _WHERE = 0x8825, (2, 4)


@dataclass(frozen=True, slots=True)
class HandedIn:
    """The ending of its kind, whether it says where it was taken."""

    ending: str
    has_place: bool


def handed_in(path: Path, name: str) -> HandedIn:
    """Look at a picture's head. Raises Slip where it is none."""
    with opened(path, name) as image:
        place = image.getexif().get_ifd(_GPS)
        xmp = image.info.get("xmp") or b""
        xmp = xmp.encode() if isinstance(xmp, str) else xmp
        has_place = any(tag in place for tag in _WHERE) or b"GPSLatitude" in xmp
        return HandedIn(_ENDINGS[str(image.format)], has_place)
