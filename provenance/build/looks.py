"""A look at every photo a record names: kind, whole, size, more than one picture in a file.

In: the book. Out: a problem at the place where the photo is named. Nothing is decoded. A photo
that was well is known again by a digest of its size, the time it was written, and its first and
last bytes, so that later looks open new and changed photos alone. Only what was well is kept, and
what is not known for sure is looked at: the cache saves time and decides nothing.
"""

import hashlib
import json
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path

from provenance.build.cache import keep, kept
from provenance.problems import Problem, Said, Slip
from provenance.records.book import Book
from provenance.records.checks_names import photo_path
from provenance.records.text import Written

RECIPE = "1"
SMALL, ALL_SMALL = "look.small", "look.small_some"
LEAST_SIDE = 1200  # of the longer side; the site's largest picture is 1600 wide
_ENDS = 4096  # bytes


def photo_looks(book: Book) -> Iterator[Problem]:
    """What is wrong with photos that lie in photos/; whether they do is told elsewhere."""
    cache = f"looks/{hashlib.sha256(str(book.folder).encode()).hexdigest()}.json"
    known, well, found = _known(cache), set(), []
    for name, is_swatch in _named(book):
        path = book.folder / photo_path(name)
        mark = _mark(path, is_swatch=is_swatch) if path.is_file() else ""
        problems = [] if mark in known else list(_look(book.folder, name, is_swatch=is_swatch))
        found += problems
        if mark and not problems:
            well.add(mark)
    if well != known:
        keep(cache, json.dumps(sorted(well)).encode())
    small = [each for each in found if _is_small(each)]
    yield from (each for each in found if not _is_small(each))
    yield from small if len(small) < 2 else [_of_all(small)]


def _is_small(problem: Problem) -> bool:
    return isinstance(problem.what, Said) and problem.what.key == SMALL


def _of_all(small: Sequence[Problem]) -> Problem:
    """Old photos are small by the dozen: that is one remark, at the first of them."""
    said = [dict(each.what.pairs) for each in small if isinstance(each.what, Said)]
    names = ", ".join(dict.fromkeys(str(each["name"]) for each in said))
    what = Said(ALL_SMALL, number=len(small), least=LEAST_SIDE, names=names)
    return replace(small[0], what=what)


def _named(book: Book) -> Iterator[tuple[Written, bool]]:
    """Every photo that a record names, and whether it is a swatch, which is measured only."""
    for piece in book.pieces.values():
        yield from ((photo.file, False) for photo in piece.photos)
    for bath in book.baths.values():
        swatches = (bath.swatch, *(entry.swatch for entry in bath.dyed))
        yield from ((swatch, True) for swatch in swatches if swatch)


def _look(folder: Path, name: Written, *, is_swatch: bool) -> Iterator[Problem]:
    from provenance.press.pictures.photos import open_photo

    try:
        photo = open_photo(folder / "photos", photo_path(name).removeprefix("photos/"))
    except Slip as slip:
        yield Problem(name.place, slip.what, slip.remedy)
        return
    if photo.pictures > 1:
        what = Said("look.several", name=name, number=photo.pictures)
        yield Problem(name.place, what, Said("look.one"), is_remark=True)
    if max(photo.width, photo.height) < LEAST_SIDE and not is_swatch:
        what = Said(SMALL, name=name, width=str(photo.width), height=str(photo.height))
        yield Problem(name.place, what, Said("look.larger", least=LEAST_SIDE), is_remark=True)


def _mark(path: Path, *, is_swatch: bool) -> str:
    """What a photo is known by; nothing where it can't be read."""
    try:
        with path.open("rb") as file:
            state = path.stat()
            first = file.read(_ENDS)
            file.seek(max(0, state.st_size - _ENDS))
            ends = hashlib.sha256(first + file.read()).hexdigest()
    except OSError:  # a look tells why
        return ""
    text = f"{_recipe()} {is_swatch} {state.st_size} {state.st_mtime_ns} {ends}"
    return hashlib.sha256(text.encode()).hexdigest()


@lru_cache(maxsize=1)
def _recipe() -> str:
    return f"{RECIPE} {LEAST_SIDE} {version('pillow')} {version('pi-heif')}"


def _known(cache: str) -> set[str]:
    try:
        known = json.loads(kept(cache))
    except ValueError:
        return set()
    return {each for each in known if isinstance(each, str)} if isinstance(known, list) else set()
