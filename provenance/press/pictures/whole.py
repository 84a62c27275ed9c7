"""Whether a photo's file is all there, seen from its outline and not from its pixels.

In: an open, undecoded image and its file. Out: yes or no. A file that was cut short while it was
copied is told in a thousandth of what decoding it costs; a PNG says a check sum with every chunk,
which finds more. Outlines: JPEG ends its scans with EOI
(ITU-T T.81 B.1.1.3; phones hang more behind it), PNG ends with an IEND chunk (W3C PNG 11.2.5), WebP
says its length (RIFF, RFC 9649 2.4), HEIC and AVIF are boxes that say theirs (ISO/IEC 14496-12
4.2), TIFF says where its strips or tiles lie (TIFF 6.0, tags 273 and 279, 324 and 325).
"""

from __future__ import annotations

import zlib
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

if TYPE_CHECKING:
    from PIL.Image import Image

_EOI, _SCAN = b"\xff\xd9", 0xDA
_END = b"IEND"
_PLACES = ((273, 279), (324, 325))


def is_whole(image: Image, path: Path) -> bool:
    """Whether nothing is missing at the end of the file."""
    size = path.stat().st_size
    with path.open("rb") as file:
        if image.format in ("AVIF", "HEIF"):
            return _boxes_end(file, size)
        if image.format == "WEBP":
            return int.from_bytes(file.read(8)[4:], "little") + 8 <= size
        if image.format == "TIFF":
            return _pieces_end(image) <= size
        return _chunks_hold(file) if image.format == "PNG" else _ends_with(file)


def _chunks_hold(file: BinaryIO) -> bool:
    """Whether every chunk of a PNG has the CRC it says (W3C PNG 5.3), down to its end."""
    file.seek(8)
    while len(head := file.read(8)) == 8:
        content = file.read(int.from_bytes(head[:4], "big"))
        if zlib.crc32(content, zlib.crc32(head[4:])) != int.from_bytes(file.read(4), "big"):
            return False
        if head[4:] == _END:
            return True
    return False


def _ends_with(file: BinaryIO) -> bool:
    """At the very end as a rule; else anywhere behind the head, which may hold a thumbnail's."""
    file.seek(-len(_EOI), 2)
    if file.read() == _EOI:
        return True
    file.seek(0)
    content = file.read()
    return content.find(_EOI, _scan_of(content)) >= 0


def _scan_of(content: bytes) -> int:
    """Where the pixels of a JPEG begin."""
    at = 2
    while content[at : at + 1] == b"\xff" and content[at + 1] != _SCAN:
        at += 2 + int.from_bytes(content[at + 2 : at + 4], "big")
    return at


def _boxes_end(file: BinaryIO, size: int) -> bool:
    """The last box ends with the file, or what a phone hung on comes after the picture's own."""
    at, seen = 0, set()
    while at < size:
        file.seek(at)
        head = file.read(16)
        length = int.from_bytes(head[:4], "big")
        if length == 1:
            length = int.from_bytes(head[8:], "big")
        elif length == 0:  # to the end of the file
            length = size - at
        at += max(8, length)
        if at <= size:
            seen.add(head[4:8])
    return at == size or {b"meta", b"mdat"} <= seen


def _pieces_end(image: Any) -> int:
    """Where the last strip or tile of a TIFF ends."""
    tags, ends = image.tag_v2, [0]
    for starts, lengths in _PLACES:
        ends += map(sum, zip(tags.get(starts, ()), tags.get(lengths, ()), strict=False))
    return max(ends)
