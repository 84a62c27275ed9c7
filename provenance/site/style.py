"""The look of the site: several files, each for what it dresses, joined in one.

In: letters, a studio's own templates, if it has any. Out: the one stylesheet and the one script
that every page asks for, under names that carry the digests of their bytes. A studio may put its
own in the place of each file; a later file has the last word.
"""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Any

from provenance.press.file_names import named_by_digest
from provenance.press.letters.fonts import css_inside, site_font_css
from provenance.press.markup import as_markup
from provenance.press.templates import own_texts, source
from provenance.public.studio import PublicStudio
from provenance.site.mark import mark_address
from provenance.site.shown import ShownPiece

STYLES = ("site.css", "lists.css", "glass.css", "scale.css", "checking.css", "show.css")
SCRIPTS = ("glass.js", "scale.js")
_INSIDE = {f"studio-{face}-near.woff2" for face in ("sans-400", "sans-600", "serif-400")}


@dataclass(frozen=True, slots=True)
class Look:
    """Where the stylesheet and the script lie, and all files that belong to them, by name."""

    style: str
    script: str
    files: Mapping[str, bytes]


def look(letters: Mapping[str, bytes], templates: Path | None) -> Look:
    """The look of the site, set in these letters."""
    lie = {name: _named(f"letters/{name}", content) for name, content in letters.items()}
    sheet = put("site.css", style(lie, templates), templates)
    code = put("site.js", script(templates), templates)
    own = {lie[name]: content for name, content in letters.items()}
    return Look(next(iter(sheet)), next(iter(code)), {**sheet, **code, **own})


def put(name: str, content: bytes, templates: Path | None) -> dict[str, bytes]:
    """A file that templates ask for: under a name with its digest, and then under its plain one too
    where a template of the studio's own asks for that."""
    plain = PurePosixPath(name).name.encode()
    is_asked = any(plain in text for text in own_texts(templates).values())
    return {_named(name, content): content} | ({name: content} if is_asked else {})


def _named(name: str, content: bytes) -> str:
    return named_by_digest(name, hashlib.sha256(content).hexdigest())


def style(letters: Mapping[str, str], templates: Path | None) -> bytes:
    """The stylesheet, with the letters it is set in and where they lie."""
    return site_font_css(letters).encode() + _joined(STYLES, templates)


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
