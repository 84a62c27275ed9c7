"""Whether the photos named in the records lie in photos/, under names that work everywhere.

In: the book and the names in the photos folder; no photo is opened here. Out: problems. Names are
held against the folder's list, so that a small letter for a capital is told on every machine.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Mapping
from pathlib import Path, PurePosixPath

from provenance.problems import Problem, did_you_mean
from provenance.records.book import Book
from provenance.records.folder import leads_inside
from provenance.records.text import Written

Found = Iterator[Problem]
# Names that Windows keeps for devices, whatever their ending (Microsoft, "Naming Files, Paths, and
# Namespaces"; from memory).
_DEVICE = re.compile(r"(con|prn|aux|nul|com[1-9]|lpt[1-9])(\..*)?", re.IGNORECASE)
_BAD_SIGN = re.compile(r'[<>:"|?*\\]')
_LONGEST = 200


def check_photos(book: Book) -> Found:
    """Photos lie in photos/ and have words for those who can't see them."""
    names = _names(book.folder / "photos")
    for piece in book.pieces.values():
        for photo in piece.photos:
            if not photo.alt:
                yield Problem(
                    photo.file.place,
                    f"the photo '{photo.file}' has no 'alt' text",
                    f'say what it shows: {{file: {photo.file}, alt: "Tall hanging in olive"}}',
                )
            yield from _lies_there(photo.file, names)
    for bath in book.baths.values():
        for swatch in (bath.swatch, *(entry.swatch for entry in bath.dyed)):
            if swatch:
                yield from _lies_there(swatch, names)


def photo_path(name: str) -> str:
    """A photo's path inside the record folder: `photos/` may be left out."""
    return name if name.startswith("photos/") else f"photos/{name}"


def _names(photos: Path) -> dict[str, bool]:
    """Every file in photos/, by its path there with `/`, and whether it leads out of there."""
    found: dict[str, bool] = {}
    for folder, _, files in os.walk(photos):
        inside = Path(folder).relative_to(photos).as_posix()
        for name in files:
            path = Path(folder, name)
            leads_out = path.is_symlink() and not leads_inside(path, photos)
            found[name if inside == "." else f"{inside}/{name}"] = leads_out
    return found


def _lies_there(name: Written, names: Mapping[str, bool]) -> Found:
    inside = name.removeprefix("photos/")
    if slip := _bad_name(str(name), inside):
        yield Problem(name.place, *slip)
    elif inside not in names:
        remedy = "the photos folder is empty"
        if names:
            remedy = did_you_mean(inside, names) or "put it into photos/"
        yield Problem(name.place, f"there is no photo '{name}'", remedy)
    elif names[inside]:
        what = f"'{name}' is a link that leads out of the photos folder"
        yield Problem(name.place, what, "put the photo itself into photos/")


def _bad_name(written: str, inside: str) -> tuple[str, str] | None:
    """What is wrong with a file name, and what to do; None when it works on every machine."""
    parts = PurePosixPath(inside).parts
    if inside.startswith(("/", "\\")) or ".." in parts or re.match(r"[A-Za-z]:", inside):
        return f"'{written}' leads out of the photos folder", "put the photo into photos/"
    if _BAD_SIGN.search(inside) or any(part[-1] in " ." for part in parts):
        return f"'{written}' is no file name that every machine can hold", "rename the photo"
    if any(_DEVICE.fullmatch(part) for part in parts):
        return f"'{written}' is a name that Windows keeps for itself", "rename the photo"
    if len(inside) > _LONGEST:
        return "the name of this photo is too long", f"{_LONGEST} letters at most"
    return None
