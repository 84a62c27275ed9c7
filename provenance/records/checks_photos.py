"""Whether the photos named in the records lie in photos/, under names that work everywhere.

In: the book and the names in the photos folder; no photo is opened here. Out: problems. Names are
held against the folder's list, so that a small letter for a capital is told on every machine.
"""

import os
import re
from collections.abc import Iterator, Mapping
from pathlib import Path, PurePosixPath

from provenance.problems import Problem, Said, did_you_mean
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
                remedy = Said("photo_file.write_alt", file=photo.file)
                yield Problem(photo.file.place, Said("photo_file.no_alt", file=photo.file), remedy)
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
    if wrong := _bad_name(inside):
        remedies = {
            "leads_out": Said("photo_file.put_into"),
            "long": Said("photo_file.at_most", most=_LONGEST),
        }
        remedy = remedies.get(wrong, Said("photo_file.rename"))
        yield Problem(name.place, Said(f"photo_file.{wrong}", name=name), remedy)
    elif inside not in names:
        near = did_you_mean(inside, names) or Said("photo_file.put_it")
        remedy = near if names else Said("photo_file.folder_empty")
        yield Problem(name.place, Said("photo_file.none", name=name), remedy)
    elif names[inside]:
        yield Problem(name.place, Said("photo_file.link", name=name), Said("photo_file.put_itself"))


def _bad_name(inside: str) -> str:
    """What is wrong with a file name; nothing when it works on every machine."""
    parts = PurePosixPath(inside).parts
    if inside.startswith(("/", "\\")) or ".." in parts or re.match(r"[A-Za-z]:", inside):
        return "leads_out"
    if _BAD_SIGN.search(inside) or any(part[-1] in " ." for part in parts):
        return "bad_sign"
    if any(_DEVICE.fullmatch(part) for part in parts):
        return "device"
    return "long" if len(inside) > _LONGEST else ""
