"""Loading what renders papers and reads them back, ahead of the first paper.

In: nothing. Out: a process that has the libraries and the letters at hand, and has rendered a page
once, since much is read and parsed when it is first wanted; the papers are the same.
"""

from datetime import date
from functools import cache
from importlib import import_module

from provenance.press.codes.qr import Code, code_of

_DOORS = ("weasyprint", "pikepdf", "pypdfium2", "zxingcpp")
_PAGE = """<!doctype html><html lang="en"><head><title>Rehearsal</title><style>
@page { size: 60mm 40mm; margin: 3mm } div { position: absolute; top: 8mm; border: 1pt solid }
b { font-family: "Studio Serif"; font-weight: 600 } </style></head><body><div>One <b>two</b>
<img src="code.png" alt="" style="width: 20mm"><img src="ground.svg" alt="" style="width: 9mm">
</div></body></html>"""
_GROUND = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0h9v9z"/></svg>'


@cache
def get_ready() -> None:
    """Load what takes a while to load, so that it is there when a paper comes; once a process."""
    for name in _DOORS:
        import_module(name)
    from provenance.press.pdf.joining import joined
    from provenance.press.pdf.render import render_pdf

    assets: dict[str, bytes | Code] = {
        "code.png": code_of("HTTPS://REHEARSAL.INVALID/1/"),
        "ground.svg": _GROUND,
    }
    page = render_pdf(_PAGE, assets, archival=False, created=date(2000, 1, 1))
    joined([page, page])
