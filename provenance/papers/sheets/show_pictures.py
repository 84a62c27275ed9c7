"""A photo made to a juried show's rules: size in pixels, size of the file, format, name.

In: a photo that was looked at, the rules. Out: the finished picture, or a Slip that says which
rule it can't meet. A picture is made smaller where it must be and never larger; nothing of the
maker's file comes along, and no name or mark is put on it. JPEG is always baseline.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from provenance.press.pictures.photos import Upright, pixels
from provenance.problems import Said, Slip
from provenance.public.shapes import ShowRules

if TYPE_CHECKING:
    from PIL.Image import Image

_FINE = (92, 88, 84, 80)  # nobody sees these; below them the picture is made smaller first
_COARSE = (75, 70, 65, 60, 50)
_STEP = 0.9
_LEAST = 320  # a smaller picture shows no weave; where the rules name no least side
_NOT_IN_NAMES = re.compile(r'[\\/:*?"<>|\x00-\x1f]+')


@dataclass(frozen=True, slots=True)
class ShowPicture:
    """The file as it goes to the show."""

    width: int
    height: int
    content: bytes


def show_picture(photo: Upright, rules: ShowRules) -> ShowPicture:
    """The largest and finest picture of a photo that the rules allow."""
    least, most = _bounds(photo, rules)
    for longer in _sizes(least, most):
        image = _image(photo, longer)
        if (made := _saved(image, rules, _FINE)) is not None:
            return ShowPicture(image.width, image.height, made)
    if (made := _saved(image, rules, _COARSE)) is not None:
        return ShowPicture(image.width, image.height, made)
    weight = megabytes(rules.file_size or 0)
    raise Slip(Said("entry.too_heavy", photo=photo.name, most=weight), Said("entry.another"))


def _bounds(photo: Upright, rules: ShowRules) -> tuple[int, int]:
    """Least and most pixels of the longer side; the shorter side's rules put in its terms."""
    longer, shorter = max(photo.width, photo.height), min(photo.width, photo.height)
    least, most, liked = min(longer, _LEAST), longer, longer
    if rule := rules.longer_side:
        least, most = max(least, rule.least or 1), min(most, rule.most or most)
        liked = min(liked, rule.best[1]) if rule.best else liked
    if rule := rules.shorter_side:
        least = max(least, -(-(rule.least or 1) * longer // shorter))
        most = min(most, (rule.most or shorter) * longer // shorter)
        liked = min(liked, rule.best[1] * longer // shorter) if rule.best else liked
    if least > longer:
        raise _too_small(photo, rules)
    if least > most:
        raise Slip(Said("entry.too_narrow", photo=photo.name), Said("entry.crop"))
    return least, max(least, min(most, liked))


def _too_small(photo: Upright, rules: ShowRules) -> Slip:
    sides = (
        ("longer", max(photo.width, photo.height), rules.longer_side),
        ("shorter", min(photo.width, photo.height), rules.shorter_side),
    )
    asked = [
        Said(f"entry.{word}_side", pixels=str(side), least=str(rule.least))
        for word, side, rule in sides
        if rule and rule.least and rule.least > side
    ]
    what = Said("entry.too_small", photo=photo.name, sides=tuple(asked))
    return Slip(what, Said("entry.never_enlarged"))


def _sizes(least: int, most: int) -> Iterator[int]:
    """Longer sides to try, largest first, the least one last."""
    size = most
    while size > least:
        yield size
        size = int(size * _STEP)
    yield least


def _image(photo: Upright, longer: int) -> Image:
    from PIL import Image

    width, height, content = pixels(photo, longer)
    return Image.frombytes("RGB", (width, height), content)


def _saved(image: Image, rules: ShowRules, qualities: tuple[int, ...]) -> bytes | None:
    """The file at the best quality that fits; None when none does."""
    for quality in qualities:
        into = io.BytesIO()
        dots = {"dpi": (rules.resolution, rules.resolution)} if rules.resolution else {}
        if rules.format == "PNG":
            image.save(into, "PNG", optimize=True, **dots)
        else:
            image.save(into, "JPEG", quality=quality, optimize=True, progressive=False, **dots)
        if rules.file_size is None or into.tell() <= rules.file_size:
            return into.getvalue()
        if rules.format == "PNG":
            return None
    return None


def file_name(pattern: str, parts: Mapping[str, str]) -> str:
    """A pattern filled in: '{nn} {first}_{last}' is '01 Isla_Wren'; `/` makes folders."""
    safe = {word: _NOT_IN_NAMES.sub("-", text).strip(" .") for word, text in parts.items()}
    filled = re.sub(r"\{([^{}]*)\}", lambda found: safe[found[1]], pattern)
    folders = [" ".join(part.split()).strip(" .") for part in filled.split("/")]
    return "/".join(part or "-" for part in folders)


def ending(rules: ShowRules) -> str:
    """jpg or png."""
    return "png" if rules.format == "PNG" else "jpg"


def megabytes(size: int) -> str:
    """A size of a file in words: 1.4 MB, 860 KB."""
    if size >= 1_000_000:
        return f"{size / 1_000_000:.1f}".removesuffix(".0") + " MB"
    return f"{max(1, round(size / 1000))} KB"
