"""A look at every photo a record names: kind, whole, size, more than one picture in a file.

In: the book. Out: a problem at the place where the photo is named. A photo is read to its last
pixel, at the smallest scale, once: one that was well is known again by the digest of its bytes, so
that later looks open new and changed photos alone. Only what was well is kept, and what is not
known for sure is looked at: the cache saves time and decides nothing.
"""

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path

from provenance.build.cache import keep_quickly, kept, sealed, unsealed
from provenance.build.digests import photo_digests
from provenance.press.file_names import inside
from provenance.problems import Problem, Said, Slip
from provenance.records.book import Book
from provenance.records.checks_names import photo_path
from provenance.records.text import Written
from provenance.workers import workers

RECIPE = "2"
SMALL, ALL_SMALL = "look.small", "look.small_some"
LEAST_SIDE = 1200  # of the longer side; the site's largest picture is 1600 wide
_FEW = 12  # photos are looked at here; more are worth starting workers


@dataclass(frozen=True, slots=True)
class _New:
    """A photo to look at, and what it will be known by."""

    folder: Path
    name: Written
    is_swatch: bool
    digest: str
    is_sound: bool = False

    @property
    def mark(self) -> str:
        """What it is known by when there is nothing to say of it; nothing where it can't be read"""
        return _mark(self.digest, str(self.is_swatch))

    @property
    def sound(self) -> str:
        """What it is known by when every pixel can be read, though it may be small."""
        return _mark(self.digest, "sound")


def photo_looks(book: Book) -> Iterator[Problem]:
    """What is wrong with photos that lie in photos/; whether they do is told elsewhere."""
    cache = f"looks/{hashlib.sha256(str(book.folder).encode()).hexdigest()}.json"
    known, asked = _known(cache), list(_asked(book))
    new = [replace(each, is_sound=each.sound in known) for each in asked if each.mark not in known]
    seen = _seen(new)
    well = known & {mark for each in asked for mark in (each.mark, each.sound)}
    well |= {each.mark for each, problems in seen if not problems}
    well |= {each.sound for each, problems in seen if all(p.is_remark for p in problems)}
    well.discard("")
    if well != known:
        keep_quickly(cache, sealed(sorted(well)))
    found = [problem for _, problems in seen for problem in problems]
    small = [each for each in found if _is_small(each)]
    yield from (each for each in found if not _is_small(each))
    yield from small if len(small) < 2 else [_of_all(small)]


def _asked(book: Book) -> Iterator[_New]:
    digests = photo_digests(book.folder)
    for name, is_swatch in _named(book):
        try:
            digest = digests.of(inside(book.folder / "photos", _below(name)))
        except (OSError, Slip):  # a look tells why
            digest = ""
        yield _New(book.folder, name, is_swatch, digest)
    digests.keep()


def _seen(new: Sequence[_New]) -> list[tuple[_New, list[Problem]]]:
    """What a look at each finds; on every core when they are many."""
    if len(new) <= _FEW:
        return [(each, _looked(each)) for each in new]
    with workers(len(new)) as pool:
        return list(zip(new, pool.map(_looked, new, chunksize=4), strict=True))


def _looked(new: _New) -> list[Problem]:
    return list(_look(new.folder, new.name, is_swatch=new.is_swatch, is_sound=new.is_sound))


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


def _look(
    folder: Path, name: Written, *, is_swatch: bool, is_sound: bool = False
) -> Iterator[Problem]:
    from provenance.press.pictures.photos import look_into, open_photo

    try:
        photo = open_photo(folder / "photos", _below(name))
        if not is_sound:
            look_into(photo)
    except Slip as slip:
        yield Problem(name.place, slip.what, slip.remedy)
        return
    if photo.pictures > 1:
        what = Said("look.several", name=name, number=photo.pictures)
        yield Problem(name.place, what, Said("look.one"), is_remark=True)
    if max(photo.width, photo.height) < LEAST_SIDE and not is_swatch:
        what = Said(SMALL, name=name, width=str(photo.width), height=str(photo.height))
        yield Problem(name.place, what, Said("look.larger", least=LEAST_SIDE), is_remark=True)


def _below(name: Written) -> str:
    return photo_path(name).removeprefix("photos/")


def _mark(digest: str, kind: str) -> str:
    text = f"{_recipe()} {kind} {digest}"
    return hashlib.sha256(text.encode()).hexdigest() if digest else ""


@lru_cache(maxsize=1)
def _recipe() -> str:
    return f"{RECIPE} {LEAST_SIDE} {version('pillow')} {version('pi-heif')} {version('simplejpeg')}"


def _known(cache: str) -> set[str]:
    known = unsealed(kept(cache))
    return {each for each in known if isinstance(each, str)} if isinstance(known, list) else set()
