"""A page of a PDF as a picture, for a screen.

In: the bytes of a PDF, a page (from 0), the part of it in millimetres, dots per inch. Out: a PNG.
"""

import io
from contextlib import closing

Part = tuple[float, float, float, float]  # left, top, width, height from the page's upper left, mm
_POINT = 72 / 25.4  # points in a millimetre


def page_png(content: bytes, page: int, part: Part | None = None, dpi: int = 120) -> bytes | None:
    """The picture; None where the PDF has no such page."""
    import pypdfium2  # type: ignore[import-untyped]

    with closing(pypdfium2.PdfDocument(content)) as document:
        if page >= len(document):
            return None
        sheet = document[page]
        crop = (0.0, 0.0, 0.0, 0.0)
        if part:
            left, top, width, height = (each * _POINT for each in part)
            whole_width, whole_height = sheet.get_size()
            crop = (left, whole_height - top - height, whole_width - left - width, top)
        image = sheet.render(scale=dpi / 72, crop=crop).to_pil()
        held = io.BytesIO()
        image.save(held, "PNG")
        return held.getvalue()
