"""A photo made to a juried show's rules: size in pixels, size of the file, format, name.

In: a photo that was looked at, the rules. Out: the finished picture, or a Slip that says which
rule it can't meet. A picture is made smaller where it must be and never larger; nothing of the
maker's file comes along, and no name or mark is put on it. JPEG is always baseline.
"""

import re
from collections.abc import Iterator, Mapping

from provenance.press.pictures.ladder import Rendition
from provenance.press.pictures.photos import Upright, exports
from provenance.problems import Said, Slip
from provenance.public.shapes import ShowRules

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
