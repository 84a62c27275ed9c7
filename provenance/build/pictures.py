"""Public pictures, made once and kept: a cache by content, work on every core.

In: photos wanted, with their credits. Out: for each its renditions, from the cache where they are,
else made by worker processes. A doubtful cache entry is a miss.
"""

import hashlib
import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

from provenance.build.cache import keep, kept
from provenance.press.pictures.credit import Credit, packet
from provenance.press.pictures.photos import (
    FORMATS,
    WIDTHS,
    Rendition,
    open_photo,
    pixels,
    renditions,
)
from provenance.problems import Said, Slip
from provenance.records.checks_names import photo_path
from provenance.workers import workers

RECIPE = "3"
SWATCH_SIDE = 400


@dataclass(frozen=True, slots=True)
class Wanted:
    """A photo to make public: its folder, its name there, and what its picture says of itself."""

    folder: Path
    name: str
    credit: Credit


@dataclass(frozen=True, slots=True)
class Made:
    """The renditions of a photo, or what is wrong with it."""

    wanted: Wanted
    renditions: tuple[Rendition, ...]
    slip: Slip | None = None


def public_pictures(wanted: Sequence[Wanted], tell: Callable[[int, int], None]) -> Iterator[Made]:
    """Every photo's pictures; `tell(done, all)` is called as they come."""
    keys = {each: _key(each) for each in wanted}
    known = {each: found for each, key in keys.items() if key and (found := _kept(key))}
    yield from (Made(each, found) for each, found in known.items())
    tell(len(known), len(wanted))
    missing = [each for each in wanted if each not in known]
    for done, made in enumerate(_developed(missing), len(known) + 1):
        tell(done, len(wanted))
        _keep(keys[made.wanted], made)
        yield made


def _developed(missing: Sequence[Wanted]) -> Iterator[Made]:
    """Made anew; on every core when there is more than a handful."""
    if len(missing) < 3:
        yield from map(_develop, missing)
        return
    with workers(len(missing)) as pool:
        yield from pool.map(_develop, missing)


def _develop(wanted: Wanted) -> Made:
    try:
        photo = open_photo(wanted.folder, wanted.name)
        return Made(wanted, renditions(photo, wanted.credit))
    except Slip as slip:
        return Made(wanted, (), slip)


def _key(wanted: Wanted) -> str:
    """What a photo's pictures depend on: its bytes, its credit, our recipe, the library."""
    try:
        content = (wanted.folder / wanted.name).read_bytes()
    except OSError:
        return ""
    library = version("pillow") + (version("pi-heif") if content[4:8] == b"ftyp" else "")
    recipe = f"{RECIPE} {WIDTHS} {FORMATS} {library}".encode()
    parts = (recipe, packet(wanted.credit), content)
    return hashlib.sha256(b"".join(hashlib.sha256(part).digest() for part in parts)).hexdigest()


def _kept(key: str) -> tuple[Rendition, ...]:
    folder = f"pictures/{key[:2]}/{key}"
    try:
        listed = json.loads(kept(f"{folder}/list.json"))
        found = [Rendition(w, h, kind, kept(f"{folder}/{name}")) for w, h, kind, name, _ in listed]
    except (ValueError, TypeError):
        return ()
    sound = all(
        hashlib.sha256(each.content).hexdigest() == line[4]
        for each, line in zip(found, listed, strict=True)
    )
    return tuple(found) if sound else ()


def _keep(key: str, made: Made) -> None:
    if not key or made.slip:
        return
    folder, listed = f"pictures/{key[:2]}/{key}", []
    for each in made.renditions:
        name = f"{each.width}.{each.format}"
        keep(f"{folder}/{name}", each.content)
        digest = hashlib.sha256(each.content).hexdigest()
        listed.append([each.width, each.height, each.format, name, digest])
    keep(f"{folder}/list.json", json.dumps(listed).encode())


def swatch_colours(folder: Path, names: Sequence[str]) -> tuple[Mapping[str, str], dict[str, Slip]]:
    """Swatch photo -> its colour as measured, and what is wrong with those that can't be read."""
    known = _known_swatches()
    colours: dict[str, str] = {}
    slips: dict[str, Slip] = {}
    fresh = dict(known)
    for name in names:
        path = photo_path(name)
        try:
            digest = hashlib.sha256((folder / path).read_bytes()).hexdigest()
            colours[name] = known.get(digest) or _measured(folder, path)
            fresh[digest] = colours[name]
        except OSError:
            slips[name] = Slip(Said("photo_file.no_swatch", name=name), Said("photo_file.put_it"))
        except Slip as slip:
            slips[name] = slip
    if fresh != known:
        keep("swatches.json", json.dumps(fresh).encode())
    return colours, slips


def _known_swatches() -> dict[str, str]:
    try:
        known = json.loads(kept("swatches.json"))
    except ValueError:
        return {}
    return known if isinstance(known, dict) else {}


def _measured(folder: Path, path: str) -> str:
    from provenance.figures.colour.photo import pixels_of, swatch_colour

    photo = open_photo(folder, path)
    return swatch_colour(pixels_of(*pixels(photo, SWATCH_SIDE)))
