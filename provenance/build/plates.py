"""Pictures for print, made once and kept by what the photo's file holds and how wide it is printed.

In: a photo, its width in millimetres. Out: the JPEG, from the cache where it is; what lies there
says its own digest, and a bit that has changed makes it a miss.
"""

import hashlib

from provenance.build.cache import keep_quickly, kept
from provenance.build.program import program
from provenance.digest import digest_of
from provenance.papers.catalogue.pictures import DPI, plate
from provenance.press.pictures.photos import Upright

_SEAL = hashlib.sha256().digest_size


def kept_plate(photo: Upright, width: float) -> bytes:
    """The picture for print."""
    with photo.path.open("rb") as file:
        shown = hashlib.file_digest(file, "sha256").hexdigest()
    name = f"plates/{digest_of(program('press'), shown, f'{width:.2f}', DPI)}"
    found = kept(name)
    if hashlib.sha256(found[_SEAL:]).digest() == found[:_SEAL]:
        return found[_SEAL:]
    made = plate(photo, width)
    keep_quickly(name, hashlib.sha256(made).digest() + made)
    return made
