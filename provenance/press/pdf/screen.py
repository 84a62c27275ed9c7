"""A paper with bleed as it is read on a screen: cut to its trim, its pictures smaller.

In: a tagged PDF by `pdf.render`; for each picture, by the digest of its JPEG, how many pixels wide
it shall be. Out: the same pages, tags, bookmarks and links, with smaller pictures, but
no claim to be PDF/A. Equal files give equal bytes.
"""

import hashlib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from provenance.press.pdf.claims import no_archive
from provenance.press.pdf.opening import opened, saved
from provenance.press.pictures.smaller import smaller


def picture_digest(jpeg: bytes) -> str:
    """By which a picture is known again in the finished paper."""
    return hashlib.sha256(jpeg).hexdigest()


def for_screen(paper: bytes | Path, widths: Mapping[str, int], into: Path | None = None) -> bytes:
    """The paper for reading; a picture that has no more pixels than are wanted stays as it is. The
    bytes, none where they go `into` a file."""
    with opened(paper) as document:
        for page in document.pages:
            _cut(page)
        for image in _pictures(document):
            _shrink(image, widths)
        no_archive(document)
        return saved(document, into)


def _cut(page: Any) -> None:
    """What lies beyond the trim is for the knife alone."""
    trim = [float(side) for side in page.trimbox]
    for box in ("/BleedBox", "/CropBox", "/ArtBox"):
        if box in page.obj:
            del page.obj[box]
    page.mediabox = page.trimbox = trim


def _pictures(document: Any) -> Iterator[Any]:
    import pikepdf

    for thing in document.objects:
        if isinstance(thing, pikepdf.Stream) and thing.get("/Subtype") == "/Image":
            yield thing


def _shrink(image: Any, widths: Mapping[str, int]) -> None:
    import pikepdf

    if image.get("/Filter") != "/DCTDecode":
        return
    content = bytes(image.read_raw_bytes())
    wanted = widths.get(picture_digest(content), 0)
    if not wanted or wanted >= int(image.Width):
        return
    width, height, small = smaller(content, wanted)
    image.write(small, filter=pikepdf.Name.DCTDecode)
    image.Width, image.Height = width, height
