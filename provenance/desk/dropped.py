"""Photos dropped onto the desk: copied into photos/, and named in the record with words for those
who can't see them.

In: a piece's number, a file's name and bytes. Out: a file in photos/, byte for byte as it came,
named by the number it belongs to (`records.found_photos`), the maker's own name for it and what
its bytes are. Nothing is turned here: a JPEG that is turned is made anew and loses sharpness, and
every picture made from it stands upright anyway (`press.pictures`). A file that says where it was
taken keeps that, as no picture for others carries it on; it is said. What isn't a picture, is too
large or is damaged is refused. The same bytes twice are one photo; nothing is written over.
"""

import hashlib
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from provenance.deeds.deed import Deed, change_of
from provenance.output import write_file
from provenance.press.pictures.dropped import HandedIn, handed_in
from provenance.press.pictures.photos import Upright, look_into, open_photo
from provenance.problems import Said, Slip, WrongWish
from provenance.records.checks_names import photo_path
from provenance.records.found_photos import number_in
from provenance.records.new_records import words_in_name
from provenance.records.patch import Add, Put, Wish
from provenance.records.photos import VIEWS, Photo
from provenance.records.pieces import Piece
from provenance.records.reading import known_words
from provenance.studio import Studio

MOST_BYTES = 64_000_000


@dataclass(frozen=True, slots=True)
class Kept:
    """A photo that lies in photos/, by its name there; whether its bytes lay there before."""

    name: str
    photo: Upright
    says: HandedIn
    is_double: bool = False


def keep_photo(folder: Path, number: str, name: str, data: bytes) -> Kept:
    """Put a photo into photos/; the lock is the caller's. Raises Slip for what is no picture, too
    large or damaged."""
    photo, says = _looked_at(name, data)
    photos = folder / "photos"
    if there := _double(photos, data):
        return Kept(there, photo, says, is_double=True)
    new = _free(photos, f"{number}-{_own_words(number, name)}", says.ending)
    write_file(photos / new, data)
    return Kept(new, photo, says)


def _looked_at(name: str, data: bytes) -> tuple[Upright, HandedIn]:
    if len(data) > MOST_BYTES:
        raise WrongWish(Said("desk_hands.too_large", name=name), Said("desk_hands.smaller"))
    with TemporaryDirectory() as aside:
        plain = re.sub(r"[^\w.-]+", "-", name.rpartition("/")[2]).strip("-. ")[-80:] or "photo"
        write_file(Path(aside, plain), data)
        photo = open_photo(Path(aside), plain)
        look_into(photo)
        return photo, handed_in(photo.path, plain)


def _double(photos: Path, data: bytes) -> str:
    """The file in photos/ that has these bytes; '' where none has."""
    wanted = hashlib.sha256(data).digest()
    for path in sorted(photos.rglob("*")):
        if path.is_file() and not path.is_symlink() and path.stat().st_size == len(data):
            with path.open("rb") as file:
                if hashlib.file_digest(file, "sha256").digest() == wanted:
                    return path.relative_to(photos).as_posix()
    return ""


def _own_words(number: str, name: str) -> str:
    """The maker's own name for a photo, as part of a file name, without the number it has."""
    stem = name.replace("\\", "/").rpartition("/")[2].rpartition(".")[0] or name
    if number_in(stem, {number}) == number:
        stem = stem.removeprefix(number)
    return words_in_name(stem) or "photo"


def _free(photos: Path, stem: str, ending: str) -> str:
    there = {path.name.casefold() for path in photos.iterdir()} if photos.is_dir() else set()
    turn, name = 1, f"{stem}{ending}"
    while name.casefold() in there:
        turn += 1
        name = f"{stem}-{turn}{ending}"
    return name


def named_as(piece: Piece, path: str) -> Photo | None:
    """The photo of a record that lies at a path (`photos/...`), if the record names it."""
    own = (each for each in piece.photos if not each.is_found)
    return next((each for each in own if photo_path(each.file) == path), None)


def words_for(studio: Studio, number: str, path: str, words: str, view: str = "") -> Deed:
    """The record with a photo and its words; without words the photo alone. Raises Slip where no
    such photo lies there, or the record can't be changed safely."""
    piece, told = studio.piece(number).record, " ".join(words.split())
    if not (studio.book.folder / path).is_file() or not path.startswith("photos/"):
        raise Slip(Said("desk_hands.missing", path=path), Said("desk_hands.drop_first"))
    if view and view not in VIEWS:
        raise WrongWish(Said("desk_hands.view", text=view, views=VIEWS))
    change = change_of(studio, piece.number.place.file, _wishes(piece, path, told, view))
    said = Said("desk_hands.named", number=number, title=str(piece.title), path=path)
    return Deed(f"photo {number} {path}", (change,), (said,))


def _wishes(piece: Piece, path: str, words: str, view: str) -> Iterator[Wish]:
    """What is written. Photos that were found for an earlier piece are named with it, as found ones
    count only while the record names none."""
    if photo := named_as(piece, path):
        if words:
            turn = piece.photos.index(photo)
            yield Put(("photos", turn, "alt"), words, known_words(Photo))
        return
    found = [str(each.file) for each in piece.photos if each.is_found]
    name = path.removeprefix("photos/")
    for each in dict.fromkeys([*found, name]):
        item = {"file": each}
        if seen := (view if each == name else "") or _view_in(each):
            item["view"] = seen
        if each == name and words:
            item["alt"] = words
        yield Add(("photos",), item, known_words(Piece))


def _view_in(name: str) -> str:
    """The view that a file name says: `2026-014-detail.jpg`."""
    found = re.findall(r"[^\W\d_]+", name.rpartition("/")[2].lower())
    return next((word for word in found if word in VIEWS), "")
