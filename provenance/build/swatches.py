"""The colours of swatch photos, measured once and kept by what the photo holds.

In: the record folder, names of photos. Out: a colour for each, and what is wrong with those that
can't be read.
"""

from collections.abc import Mapping, Sequence
from pathlib import Path

from provenance.build.cache import keep_quickly, kept, sealed, unsealed
from provenance.build.digests import PhotoDigests
from provenance.press.pictures.photos import open_photo, pixels
from provenance.problems import Said, Slip
from provenance.records.checks_names import photo_path

SWATCH_SIDE = 400
_CACHE = "swatches.json"


def swatch_colours(folder: Path, names: Sequence[str]) -> tuple[Mapping[str, str], dict[str, Slip]]:
    """Swatch photo -> its colour as measured, and what is wrong with those that can't be read."""
    known, digests = _known_swatches(), PhotoDigests(folder)
    colours: dict[str, str] = {}
    slips: dict[str, Slip] = {}
    fresh = dict(known)
    for name in names:
        path = photo_path(name)
        try:
            digest = digests.of(folder / path)
            colours[name] = known.get(digest) or _measured(folder, path)
            fresh[digest] = colours[name]
        except OSError:
            slips[name] = Slip(Said("photo_file.no_swatch", name=name), Said("photo_file.put_it"))
        except Slip as slip:
            slips[name] = slip
    digests.keep()
    if fresh != known:
        keep_quickly(_CACHE, sealed(fresh))
    return colours, slips


def _known_swatches() -> dict[str, str]:
    known = unsealed(kept(_CACHE))
    return known if isinstance(known, dict) else {}


def _measured(folder: Path, path: str) -> str:
    from provenance.figures.colour.photo import pixels_of, swatch_colour

    photo = open_photo(folder, path)
    return swatch_colour(pixels_of(*pixels(photo, SWATCH_SIDE)))
