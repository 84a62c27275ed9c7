"""The look of the site: several files, each for what it dresses, joined in one.

In: a studio's own templates, if it has any. Out: the one stylesheet and the one script that every
page asks for. A studio may put its own in the place of each file; a later file has the last word.
"""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from provenance.press.letters.fonts import css_inside, site_font_css
from provenance.press.markup import as_markup
from provenance.press.templates import source
from provenance.public.studio import PublicStudio
from provenance.site.mark import mark_address
from provenance.site.shown import ShownPiece

STYLES = ("site.css", "lists.css", "glass.css", "scale.css", "checking.css", "show.css")
SCRIPTS = ("glass.js", "scale.js")
_INSIDE = {f"studio-{face}-near.woff2" for face in ("sans-400", "sans-600", "serif-400")}


def style(templates: Path | None) -> bytes:
    """The stylesheet, with the letters it is set in."""
    return site_font_css("letters/").encode() + _joined(STYLES, templates)


def script(templates: Path | None) -> bytes:
    """The script: it adds to pages that say everything without it."""
    return _joined(SCRIPTS, templates)


def lost_page(
    studio: PublicStudio, letters: Mapping[str, bytes], newest: ShownPiece | None
) -> dict[str, Any]:
    """What the page for lost readers is filled with. It is shown under any address: it holds its
    style, letters and mark itself, and its links are whole."""
    own = {name: letters[name] for name in sorted(_INSIDE & letters.keys())}
    inside = "\n".join([css_inside(own), _joined(STYLES, studio.templates).decode()])
    return {
        "root": f"{studio.site}/" if studio.site else "",
        "inside": as_markup(inside),
        "mark": mark_address(newest),
    }


def _joined(names: tuple[str, ...], templates: Path | None) -> bytes:
    return b"\n".join(source(f"site/{name}", templates) for name in names)
