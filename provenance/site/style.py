"""The look of the site: several files, each for what it dresses, joined in one.

In: a studio's own templates, if it has any. Out: the one stylesheet and the one script that every
page asks for. A studio may put its own in the place of each file; a later file has the last word.
"""

from pathlib import Path

from provenance.press.letters.fonts import site_font_css
from provenance.press.templates import source

STYLES = ("site.css", "lists.css", "glass.css", "scale.css")
SCRIPTS = ("glass.js",)


def style(templates: Path | None) -> bytes:
    """The stylesheet, with the letters it is set in."""
    return site_font_css("letters/").encode() + _joined(STYLES, templates)


def script(templates: Path | None) -> bytes:
    """The script: it adds to pages that say everything without it."""
    return _joined(SCRIPTS, templates)


def _joined(names: tuple[str, ...], templates: Path | None) -> bytes:
    return b"\n".join(source(f"site/{name}", templates) for name in names)
