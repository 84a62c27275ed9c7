"""A look at every photo a record names: kind, whole, size, more than one picture in a file.

In: the book. Out: a problem at the place where the photo is named. A photo is read to its last
pixel, at the smallest scale, once: one that was well is known again by the digest of its bytes, so
that later looks open new and changed photos alone. Only what was well is kept, and what is not
known for sure is looked at: the cache saves time and decides nothing.
"""

import hashlib
import pickle
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from importlib.metadata import version
from pathlib import Path

from provenance.build.cache import keep_quickly, kept, sealed, unsealed
from provenance.build.digests import PhotoDigests
from provenance.problems import Problem, Said, Slip
from provenance.records.book import Book
from provenance.records.checks_names import photo_path
from provenance.records.text import Written
from provenance.workers import beside, workers

RECIPE = "3"
SMALL, ALL_SMALL = "look.small", ("look.small_some", "look.small_some_more")
LEAST_SIDE = 1200  # of the longer side; the site's largest picture is 1600 wide
_NAMED = 12  # photos in one remark
_FEW = 12  # photos are looked at here; more are worth starting workers


_Called = tuple[str, str]  # the mark of a photo, its name in a record
Size = tuple[int, int, int]  # width and height in pixels, pictures in the file


@dataclass(frozen=True, slots=True)
class _Photo:
    """A photo to look at; `mark` is what it is known by when every pixel can be read, '' where
    that can't be told."""

    folder: Path
    name: Written
    is_swatch: bool
    mark: str

    @property
    def called(self) -> _Called:
        """What it is known by whatever is wrong with it."""
        return self.mark, str(self.name)


@contextmanager
def looked_beside(book: Book) -> Iterator[Callable[[], Iterable[Problem]]]:
    """The looks at photos, begun beside us where none of many is known yet; told when asked for."""
    cache = f"looks/{hashlib.sha256(str(book.folder).encode()).hexdigest()}.json"
    known = _known(cache)
    if known or sum(1 for _ in _named(book)) <= _FEW:
        yield lambda: _photo_looks(book, cache, known)
        return
    with beside(partial(_all_looked, book)) as theirs:
        yield lambda: _photo_looks(book, cache, known, theirs())


def _photo_looks(
    book: Book, cache: str, known: Mapping[str, Size], ahead: bytes = b""
) -> Iterator[Problem]:
    """What is wrong with photos that lie in photos/; whether they do is told elsewhere. `ahead` is
    what was seen of them beside us."""
    found = _looks(book, known, pickle.loads(ahead) if ahead else {})
    well = {each.mark: size for each, size in found if each.mark and not isinstance(size, Slip)}
    if well != known:
        keep_quickly(cache, sealed(well))
    problems = [problem for each, size in found for problem in _told(each, size)]
    small = [each for each in problems if _is_small(each)]
    yield from (each for each in problems if not _is_small(each))
    yield from small if len(small) < 2 else [_of_all(small)]


def _looks(
    book: Book, known: Mapping[str, Size], ahead: Mapping[_Called, Size | Slip]
) -> list[tuple[_Photo, Size | Slip]]:
    """Every photo with what is known of it, or was seen ahead, or is seen now."""
    asked = list(_asked(book))
    pairs = [(each, known.get(each.mark) or ahead.get(each.called)) for each in asked]
    fresh = _fresh([each for each, size in pairs if not size])
    return [(each, size or next(fresh)) for each, size in pairs]


def _all_looked(book: Book) -> bytes:
    """What is seen in every photo; workers have what it takes from the process they come from."""
    from provenance.press.pictures.photos import load_all

    load_all()
    return pickle.dumps({each.called: size for each, size in _looks(book, {}, {})})


def _asked(book: Book) -> Iterator[_Photo]:
    digests = PhotoDigests(book.folder)
    for name, is_swatch in _named(book):
        try:
            text = f"{_recipe()} {name.rpartition('.')[2]} {digests.held(photo_path(name))}"
            mark = hashlib.sha256(text.encode()).hexdigest()
        except (OSError, Slip):  # a look tells why
            mark = ""
        yield _Photo(book.folder, name, is_swatch, mark)
    digests.keep()


def _fresh(photos: Sequence[_Photo]) -> Iterator[Size | Slip]:
    """What is found in each; of several with the same bytes one that is well speaks for all."""
    first: dict[str | _Photo, _Photo] = {}
    for each in photos:
        first.setdefault(each.mark or each, each)
    seen = dict(zip(first, _seen(list(first.values())), strict=True))
    for each in photos:
        size = seen[each.mark or each]
        is_others = isinstance(size, Slip) and each is not first[each.mark or each]
        yield _looked(each) if is_others else size  # words name their own photo


def _seen(photos: Sequence[_Photo]) -> Iterator[Size | Slip]:
    """What a look at each finds; on every core when they are many."""
    if len(photos) <= _FEW:
        yield from map(_looked, photos)
    else:
        with workers(len(photos)) as pool:
            yield from pool.map(_looked, photos, chunksize=4)


def _looked(photo: _Photo) -> Size | Slip:
    return _look(photo.folder, photo.name)


def _is_small(problem: Problem) -> bool:
    return isinstance(problem.what, Said) and problem.what.key == SMALL


def _of_all(small: Sequence[Problem]) -> Problem:
    """Old photos are small by the dozen: that is one remark, at the first of them."""
    said = [dict(each.what.pairs) for each in small if isinstance(each.what, Said)]
    names = list(dict.fromkeys(str(each["name"]) for each in said))
    shown, more = ", ".join(names[:_NAMED]), len(names) - _NAMED
    key = ALL_SMALL[more > 0]
    what = Said(key, number=len(small), least=LEAST_SIDE, names=shown, more=str(more))
    return replace(small[0], what=what)


def _named(book: Book) -> Iterator[tuple[Written, bool]]:
    """Every photo that a record names, and whether it is a swatch, which is measured only."""
    for piece in book.pieces.values():
        yield from ((photo.file, False) for photo in piece.photos)
    for bath in book.baths.values():
        swatches = (bath.swatch, *(entry.swatch for entry in bath.dyed))
        yield from ((swatch, True) for swatch in swatches if swatch)


def _look(folder: Path, name: Written) -> Size | Slip:
    from provenance.press.pictures.photos import look_into, open_photo

    try:
        photo = open_photo(folder / "photos", _below(name))
        look_into(photo)
    except Slip as slip:
        return slip
    return photo.width, photo.height, photo.pictures


def _told(photo: _Photo, size: Size | Slip) -> Iterator[Problem]:
    name = photo.name
    if isinstance(size, Slip):
        yield Problem(name.place, size.what, size.remedy)
        return
    width, height, pictures = size
    if pictures > 1:
        what = Said("look.several", name=name, number=pictures)
        yield Problem(name.place, what, Said("look.one"), is_remark=True)
    if max(width, height) < LEAST_SIDE and not photo.is_swatch:
        what = Said(SMALL, name=name, width=str(width), height=str(height))
        yield Problem(name.place, what, Said("look.larger", least=LEAST_SIDE), is_remark=True)


def _below(name: Written) -> str:
    return photo_path(name).removeprefix("photos/")


@lru_cache(maxsize=1)
def _recipe() -> str:
    return f"{RECIPE} {LEAST_SIDE} {version('pillow')} {version('pi-heif')} {version('simplejpeg')}"


def _known(cache: str) -> dict[str, Size]:
    known = unsealed(kept(cache))
    lines = known.items() if isinstance(known, dict) else ()
    return {mark: (width, height, pictures) for mark, (width, height, pictures) in lines}
