"""Which yarn lies where in a photo, as a small file that a page can read from disk too.

In: a public picture, the yarns of its piece. Out: a script of one statement that holds width,
height and, packed (RFC 1950, base64), the number of a sight for each pixel, row by row, and a mark
of the cloth that was sought; a page opened from disk may read neither pictures nor data files, but
it may run a script beside it.
"""

from __future__ import annotations

import base64
import re
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from provenance.digest import digest_of
from provenance.figures.colour.sights import Yarn
from provenance.press.pictures.ladder import Rendition
from provenance.public.glass import PublicYarn, in_sight

if TYPE_CHECKING:
    from PIL.Image import Image

LONGER = 256  # pixels; a finger is wider than one of them at every size a photo is shown
KIND = "yarns"
_FORM = re.compile(rb'underGlass = \[(\d+), (\d+), "[^"]*", "(\w+)"\];\n')
_FILLED, _AMONG_THINGS = ("detail", "mark"), ("room", "worn", "making")  # views of a photo


@dataclass(frozen=True, slots=True)
class Cloth:
    """What a photo shows: yarns with their colours, colours of those that lie `under` them,
    whether the cloth fills it, whether it lies among other things."""

    yarns: tuple[Yarn, ...]
    under: tuple[str, ...] = ()
    fills: bool = False
    among: bool = False


def cloth_of(yarns: Sequence[PublicYarn], view: str) -> Cloth:
    """What is to be found in a photo of a piece; a detail is cloth to its border."""
    seen = tuple(Yarn(each.colour, each.runs) for each in in_sight(yarns))
    under = tuple(each.colour for each in yarns if not each.is_seen)
    return Cloth(seen, under, view in _FILLED, view in _AMONG_THINGS)


def threads(picture: Image, cloth: Cloth) -> Sequence[Rendition]:
    """The file for a picture; none where nothing can be named."""
    from PIL.Image import Resampling

    from provenance.figures.colour.cloth import Photo, seen
    from provenance.figures.colour.photo import pixels_of

    share = min(1.0, LONGER / max(picture.size))
    box = max(1, round(picture.width * share)), max(1, round(picture.height * share))
    small = picture.resize(box, Resampling.BOX)
    photo = Photo(pixels_of(*box, small.tobytes()), cloth.fills, cloth.among)
    found = seen(photo, cloth.yarns, cloth.under)
    if not found.any():
        return ()
    packed = base64.b64encode(zlib.compress(found.tobytes(), 9)).decode()
    content = f'underGlass = [{box[0]}, {box[1]}, "{packed}", "{_mark(cloth)}"];\n'
    return (Rendition(*box, KIND, content.encode()),)


def size_of(content: bytes, cloth: Cloth) -> tuple[int, int] | None:
    """Width and height of such a file; None where it isn't one, or numbers other sights."""
    found = _FORM.fullmatch(content)
    is_it = found and found[3].decode() == _mark(cloth)
    return (int(found[1]), int(found[2])) if found and is_it else None


def _mark(cloth: Cloth) -> str:
    return digest_of(cloth)[:16]
