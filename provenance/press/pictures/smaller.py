"""A picture of ours made smaller: one that was made for print, for the screen.

In: a JPEG in sRGB or grey that `photos.for_print` made, a width in pixels. Out: width, height,
JPEG.
"""

import io

from provenance.press.pictures.ladder import saved

_QUALITY = 80


def smaller(content: bytes, width: int) -> tuple[int, int, bytes]:
    """The picture so many pixels wide."""
    from PIL import Image

    with Image.open(io.BytesIO(content), formats=("JPEG",)) as image:
        size = width, max(1, round(image.height * width / image.width))
        image.draft(image.mode, size)
        made = image.resize(size, Image.Resampling.LANCZOS, reducing_gap=2)
        return *size, saved(made, "JPEG", quality=_QUALITY, optimize=True)
