"""QR codes on a photo: what a phone showed, photographed by another, or kept as a picture.

In: the path of a picture of any kind that photos may have. Out: the texts of its codes, from the
top down, each once: a code that shows twice (in a window, on two screens) is one code. zxing-cpp
reads them.
"""

from pathlib import Path

from provenance.press.pictures.photos import opened

_MOST = 2400  # pixels of the longer side: finer than any code needs, and soon read


def codes_on(path: Path) -> list[str]:
    """The texts of all codes, none where there is none; Slip for a file that is no picture."""
    import zxingcpp

    with opened(path, path.name) as image:
        image.draft("L", (_MOST, _MOST))
        grey = image.convert("L")
    grey.thumbnail((_MOST, _MOST))
    kind = zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)
    found = zxingcpp.read_barcodes(grey, formats=kind)
    down = sorted(found, key=lambda it: it.position.top_left.y)
    return list(dict.fromkeys(each.text for each in down))
