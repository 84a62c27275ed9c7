"""A maker's photo in, pictures for the public and for print out. The only door to Pillow.

Taken are JPEG, PNG, WebP, TIFF, AVIF and the HEIC of phones, told by what the file holds, not by
the ending of its name: phones and messengers name them as they please. Of a file that holds
several pictures (thumbnails, depth, a sequence) only the main one is seen.

A photo is opened by name from the record folder and never altered. Every picture made from it is
upright, in sRGB, and made of its pixels alone: no EXIF, XMP, IPTC, profile, comment or trailing
bytes come along (EXIF orientation: CIPA DC-008; embedded profiles: ICC.1). A public picture then
gets our own credit and nothing else. The same photo gives the same bytes on any machine with the
same library: one thread, fixed settings.
"""

from __future__ import annotations

import hashlib
import math
import warnings
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

from provenance.press.file_names import inside
from provenance.press.pictures.credit import Credit, alt_in, packet
from provenance.press.pictures.developing import decode, develop, lies_on_its_side, resized
from provenance.press.pictures.ladder import Rendition, ladder, saved
from provenance.press.pictures.profiles import EXPORT
from provenance.press.pictures.threads import Cloth, threads
from provenance.press.pictures.whole import is_whole
from provenance.problems import Said, Slip

if TYPE_CHECKING:
    from PIL.Image import Image

_MILLION = 1_000_000
MOST_PIXELS = 120 * _MILLION
WIDTHS = (480, 960, 1600)
FORMATS = ("avif", "jpeg")
_READ = ("JPEG", "PNG", "WEBP", "TIFF", "AVIF", "HEIF")  # the JPEG reader hands MPO on
_FOR_PHONE = ((1.0, 80), (1.0, 68), (1.0, 54), (1.0, 40), (0.75, 40), (0.5, 40), (0.3, 30))
_PLUGINS = {"WEBP": "WebP"}
# What an AVIF or HEIC file says it is (ISO/IEC 23008-12; AV1 Image File Format 1.1): films of the
# same family say otherwise.
_BRANDS = b"avif avis heic heix heim heis hevc hevx hevm hevs mif1 msf1".split()


@dataclass(frozen=True, slots=True)
class Upright:
    """A photo that was looked at, not yet decoded; width and height as a person sees it; `pictures`
    in the file, where they are frames or several of one rank: the main one is seen."""

    path: Path
    name: str
    width: int
    height: int
    pictures: int = 1


@dataclass(frozen=True, slots=True)
class Seen:
    """What a public picture says of itself: size, format (jpeg, avif), words for the unsighted."""

    width: int
    height: int
    format: str
    alt: str


def open_photo(folder: Path, name: str) -> Upright:
    """Find and look at a photo without decoding it; Slip says what is wrong and what to do."""
    path = inside(folder, name)
    if not path.is_file():
        raise _missing(folder, name)
    with opened(path, name) as image:
        width, height = image.size
        if width * height > MOST_PIXELS:
            what = Said("picture.too_many", name=name, millions=-(-width * height // _MILLION))
            raise Slip(what, Said("picture.at_most", most=MOST_PIXELS // _MILLION))
        if not is_whole(image, path):
            raise Slip(Said("picture.damaged", name=name), Said("picture.copy_again"))
        if lies_on_its_side(image):
            width, height = height, width
        # A JPEG or a TIFF holds a phone's or a program's own copies beside the picture.
        pictures = 1 if image.format in ("JPEG", "MPO", "TIFF") else getattr(image, "n_frames", 1)
    return Upright(path, name, width, height, pictures)


def renditions(
    photo: Upright, credit: Credit, formats: Sequence[str] = FORMATS, cloth: Cloth | None = None
) -> tuple[Rendition, ...]:
    """Public pictures of a photo, smallest first, never larger than the photo itself; at the end
    the file that says which yarn lies where, where `cloth` has yarns that can be found."""
    boxes = [_box(photo, width) for width in _widths_for(photo)]
    largest = _decoded(photo, boxes[-1], spare=1)
    found = threads(largest, cloth) if cloth and cloth.yarns else ()
    return (*ladder(largest, boxes, formats, packet(credit)), *found)


def look_into(photo: Upright) -> None:
    """Read every pixel, at the smallest scale; Slip where some are lost."""
    with opened(photo.path, photo.name) as image:
        decode(image, photo.path, (1, 1), photo.name)


def seen_in(path: Path, name: str) -> Seen:
    """Read a public picture of ours back, not its pixels; Slip where it is none."""
    with opened(path, name) as image:
        alt = alt_in(image.info.get("xmp") or b"")
        return Seen(*image.size, str(image.format).lower(), alt)


def for_print(photo: Upright, mm_wide: float, *, dpi: int = 300, grey: bool = False) -> bytes:
    """A JPEG for a paper, `dpi` pixels an inch at the width it is printed, without any credit."""
    wanted = math.floor(Fraction(str(mm_wide)) * dpi / Fraction("25.4") + Fraction(1, 2))
    width = min(photo.width, max(1, wanted))
    image = _decoded(photo, _box(photo, width))
    return saved(image.convert("L") if grey else image, "JPEG", quality=85, optimize=True)


def for_press(photo: Upright, longer: int, dpi: int, credit: Credit) -> bytes:
    """A JPEG for others to print: `longer` pixels at most on its longer side, with its credit."""
    image = _decoded(photo, _within(photo, min(longer, max(photo.width, photo.height))))
    told = {"dpi": (dpi, dpi), "xmp": packet(credit)}
    return saved(image, "JPEG", quality=92, optimize=True, subsampling=0, **told)


def cut_for_print(
    photo: Upright, box: Sequence[float], mm: tuple[float, float], *, dpi: int, grey: bool
) -> bytes:
    """A part of a photo as a JPEG for a paper, of just these sides in mm; `box` has its left, top,
    right and lower edges as shares of the photo."""
    from PIL.Image import Resampling

    sides = [max(1, round(side * dpi / 25.4)) for side in mm]
    width = min(photo.width, math.ceil(sides[0] / (box[2] - box[0])))
    image = _decoded(photo, _box(photo, width))
    part = [edge * side for edge, side in zip(box, (*image.size, *image.size), strict=True)]
    cut = image.resize(
        (sides[0], sides[1]), Resampling.LANCZOS, (part[0], part[1], part[2], part[3])
    )
    return saved(cut.convert("L") if grey else cut, "JPEG", quality=85, optimize=True)


def for_phone(photo: Upright, longer: int, most: int) -> Rendition:
    """A WebP for a page that holds its pictures itself: its longer side at most so many pixels, at
    the best quality and then the largest size of at most so many bytes, without any credit."""
    image = _decoded(photo, _within(photo, longer))
    for share, quality in _FOR_PHONE:
        shown = resized(image, (round(image.width * share), round(image.height * share)))
        content = saved(shown, "WEBP", quality=quality, method=4)
        if len(content) <= most:
            break
    return Rendition(*shown.size, "webp", content)


def exports(
    photo: Upright, longer: int, kind: str, qualities: Sequence[int], dpi: int | None
) -> Iterator[Rendition]:
    """Files of a photo with a longer side of so many pixels: a PNG, or JPEGs from the finest on."""
    image = _decoded(photo, _within(photo, longer))
    settings: dict[str, Any] = {"dpi": (dpi, dpi)} if dpi else {}
    for quality in qualities if kind == "JPEG" else (None,):
        fine = {"quality": quality, "progressive": False} if quality else {}
        content = saved(image, kind, optimize=True, **fine, **settings)
        yield Rendition(*image.size, kind.lower(), content)


def digest(folder: Path, name: str) -> str:
    """SHA-256 of a photo's file, not looked at, to tell whether it is still the same; or a Slip."""
    path = inside(folder, name)
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except FileNotFoundError:
        raise _missing(folder, name) from None
    except OSError as error:
        what = Said("picture.unread", name=name, why=error.strerror)
        raise Slip(what, Said("picture.look")) from error


def _missing(folder: Path, name: str) -> Slip:
    return Slip(Said("picture.missing", name=name, folder=folder.name), Said("picture.check_name"))


def pixels(photo: Upright, max_side: int) -> tuple[int, int, bytes]:
    """Width, height and the sRGB bytes, row by row, three a pixel: for measuring colour."""
    image = _decoded(photo, _within(photo, max_side))
    return image.width, image.height, image.tobytes()


def _within(photo: Upright, max_side: int) -> tuple[int, int]:
    share = min(1.0, max_side / max(photo.width, photo.height))
    return max(1, round(photo.width * share)), max(1, round(photo.height * share))


def _widths_for(photo: Upright) -> list[int]:
    """The widths below the photo's own, and at the top its own or the largest there is."""
    top = min(photo.width, max(WIDTHS))
    return sorted({width for width in WIDTHS if width < top} | {top})


def _box(photo: Upright, width: int) -> tuple[int, int]:
    return width, max(1, round(photo.height * width / photo.width))


@contextmanager
def opened(path: Path, name: str) -> Iterator[Image]:
    """The open image of a file; whatever a broken or hostile file does becomes a Slip."""
    from PIL import Image, ImageFile

    _load_formats()
    # WeasyPrint switches this on for the whole process; a photo cut short must not pass.
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(path, formats=_READ) as image:
                yield image
    except Slip:
        raise
    except Exception as error:
        raise _fault(path, name, error) from error


@lru_cache(maxsize=1)
def _load_formats() -> None:
    """Make Pillow know the formats taken here, and no others."""
    from pi_heif import register_heif_opener  # type: ignore[import-untyped]

    for kind in (*_READ[:-1], "MPO"):
        import_module(f"PIL.{_PLUGINS.get(kind, kind.title())}ImagePlugin")
    register_heif_opener(thumbnails=False, depth_images=False, aux_images=False, decode_threads=1)


def load_all() -> None:
    """Load now what a look at any photo takes: who is forked afterwards has it."""
    import_module("simplejpeg")
    _load_formats()


def _fault(path: Path, name: str, error: Exception) -> Slip:
    from PIL import Image, UnidentifiedImageError

    if isinstance(error, Image.DecompressionBombError):
        most = Said("picture.pixels_at_most", most=MOST_PIXELS // _MILLION)
        return Slip(Said("picture.claims", name=name), most)
    if isinstance(error, PermissionError):
        return Slip(Said("picture.forbidden", name=name), Said("picture.allow"))
    head = _head(path) if isinstance(error, UnidentifiedImageError) else b""
    if not head or (head[4:8] == b"ftyp" and head[8:12] in _BRANDS):
        return Slip(Said("picture.damaged", name=name), Said("picture.copy_again"))
    return Slip(Said("picture.no_picture", name=name), EXPORT)


def _head(path: Path) -> bytes:
    with path.open("rb") as file:
        return file.read(32)


def _decoded(photo: Upright, box: tuple[int, int], *, spare: int = 2) -> Image:
    with opened(photo.path, photo.name) as image:
        return develop(image, photo.path, box, photo.name, spare=spare)
