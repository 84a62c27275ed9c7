"""Photos of earlier pieces, found by the number their file names begin with.

In: the record folder and its pieces. Out: the pieces; an earlier one whose record names no photo
has those in photos/ (and folders in it) whose names begin with its number, by name. The word after
the number may say the view: `2019-004 detail.jpg`. A name goes to the longest number it begins
with, so that `2019-004-2.jpg` is of piece 2019-004 unless there is a piece 2019-004-2.
"""

import os
import re
from collections.abc import Container, Iterator, Mapping
from pathlib import Path

from provenance.records.folder import leads_inside
from provenance.records.photos import VIEWS, Photo
from provenance.records.pieces import Piece
from provenance.records.text import Written

ENDINGS = (".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", ".heic", ".heif", ".avif")
_NUMBER = re.compile(r"[0-9]+(?:-[0-9]+)*")


def with_found_photos(folder: Path, pieces: Mapping[str, Piece]) -> dict[str, Piece]:
    """The same pieces, earlier ones with the photos that were found for them."""
    if not any(each.earlier and not each.photos for each in pieces.values()):
        return dict(pieces)
    found = photos_by_number(folder, pieces)
    return {number: _with(piece, found.get(number, ())) for number, piece in pieces.items()}


def photos_by_number(folder: Path, numbers: Container[str]) -> dict[str, list[str]]:
    """The files in photos/ whose names begin with one of these numbers, by number."""
    found: dict[str, list[str]] = {}
    for name in _names(folder / "photos"):
        if number := number_in(name.rpartition("/")[2], numbers):
            found.setdefault(number, []).append(name)
    return found


def number_in(name: str, numbers: Container[str]) -> str:
    """The longest of these numbers that a file name begins with; '' if there is none."""
    start = _NUMBER.match(name)
    number = start[0] if start else ""
    while number and number not in numbers:
        number = number.rpartition("-")[0]
    return number


def _names(photos: Path) -> Iterator[str]:
    for folder, folders, files in os.walk(photos):
        folders.sort()
        for name in sorted(files):
            path = Path(folder, name)
            if path.suffix.lower() in ENDINGS and leads_inside(path, photos):
                yield path.relative_to(photos).as_posix()


def _with(piece: Piece, names: list[str] | tuple[str, ...]) -> Piece:
    if piece.photos or not piece.earlier or not names:
        return piece
    photos = tuple(_photo(piece, name) for name in names)
    return piece.model_copy(update={"photos": photos})


def _photo(piece: Piece, name: str) -> Photo:
    """The view is said by a word of the name: `2019-004 back.jpg`; else it is the whole."""
    words = re.findall(r"[^\W\d_]+", name.rpartition("/")[2].lower())
    view = next((word for word in words if word in VIEWS), VIEWS[0])
    return Photo.model_validate({"file": Written(name, piece.number.place), "view": Written(view)})
