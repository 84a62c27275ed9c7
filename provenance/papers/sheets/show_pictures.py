"""A photo made to a juried show's rules: size in pixels, size of the file, format, name.

In: a photo that was looked at, the rules. Out: the finished picture, or a Slip that says which
rule it can't meet. A picture is made smaller where it must be and never larger; nothing of the
maker's file comes along, and no name or mark is put on it. JPEG is always baseline.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from provenance.press.pictures.photos import Rendition, Upright, exports
from provenance.problems import Slip
from provenance.records.show_rules import ShowRules

_FINE = (92, 88, 84, 80)  # nobody sees these; below them the picture is made smaller first
_COARSE = (75, 70, 65, 60, 50)
_STEP = 0.9
_LEAST = 320  # a smaller picture shows no weave; where the rules name no least side
_NOT_IN_NAMES = re.compile(r'[\\/:*?"<>|\x00-\x1f]+')


def show_picture(photo: Upright, rules: ShowRules) -> Rendition:
    """The largest and finest picture of a photo that the rules allow."""
    sizes = list(_sizes(*_bounds(photo, rules)))
    kind = "PNG" if rules.format == "PNG" else "JPEG"
    for longer, qualities in [*((size, _FINE) for size in sizes), (sizes[-1], _COARSE)]:
        for made in exports(photo, longer, kind, qualities, rules.resolution):
            if rules.file_size is None or len(made.content) <= rules.file_size:
                return made
    raise Slip(
        f"the photo '{photo.name}' can't be made to fit {megabytes(rules.file_size or 0)} at the "
        "size that is asked for",
        "choose another photo, or look at the rules again",
    )


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
        raise Slip(
            f"the photo '{photo.name}' is too long and narrow for the sides that are asked for",
            "crop it, with all edges of the work on it",
        )
    return least, max(least, min(most, liked))


def _too_small(photo: Upright, rules: ShowRules) -> Slip:
    asked = [
        f"{side} on its {word} side where {rule.least} are asked for"
        for word, side, rule in (
            ("longer", max(photo.width, photo.height), rules.longer_side),
            ("shorter", min(photo.width, photo.height), rules.shorter_side),
        )
        if rule and rule.least and rule.least > side
    ]
    return Slip(
        f"the photo '{photo.name}' has {' and '.join(asked)}",
        "pictures are never enlarged: take it again, or export it larger",
    )


def _sizes(least: int, most: int) -> Iterator[int]:
    """Longer sides to try, largest first, the least one last."""
    size = most
    while size > least:
        yield size
        size = int(size * _STEP)
    yield least


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
