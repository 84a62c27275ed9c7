"""The faces that everything is set in, and how wide and high their letters are.

In: the two font packages. Out: faces with their files, and their measures, which are read once and
kept beside this module while the files are the same. With `fonts` the only door to fontTools.
"""

import hashlib
import json
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from importlib.util import find_spec
from pathlib import Path

from provenance.press.beside import found_beside, keep_beside

SANS = "Studio Sans"
SERIF = "Studio Serif"


@dataclass(frozen=True, slots=True)
class Face:
    """One cut of a family; `file` is its file in the font package."""

    family: str
    weight: int
    style: str
    package: str
    file: str

    @property
    def name(self) -> str:
        slope = "-italic" if self.style == "italic" else ""
        return f"{self.family.lower().replace(' ', '-')}-{self.weight}{slope}"


_SANS_PACKAGE, _SERIF_PACKAGE = "font_source_sans_pro", "font_source_serif_pro"
FACES = (
    Face(SANS, 300, "normal", _SANS_PACKAGE, "SourceSansPro-Light.ttf"),
    Face(SANS, 400, "normal", _SANS_PACKAGE, "SourceSansPro-Regular.ttf"),
    Face(SANS, 600, "normal", _SANS_PACKAGE, "SourceSansPro-Semibold.ttf"),
    Face(SANS, 400, "italic", _SANS_PACKAGE, "SourceSansPro-It.ttf"),
    Face(SERIF, 400, "normal", _SERIF_PACKAGE, "SourceSerifPro-Regular.ttf"),
    Face(SERIF, 600, "normal", _SERIF_PACKAGE, "SourceSerifPro-Semibold.ttf"),
    Face(SERIF, 400, "italic", _SERIF_PACKAGE, "SourceSerifPro-It.ttf"),
)


@dataclass(frozen=True, slots=True)
class Measures:
    """Advances by character, and heights over the baseline, in thousandths of the size."""

    advances: dict[int, int]
    ascent: int
    descent: int
    capital: int


def upright_face(family: str, weight: int) -> Face:
    """The upright face of a family and a weight."""
    wanted = (family, weight, "normal")
    return next(f for f in FACES if (f.family, f.weight, f.style) == wanted)


def face_path(face: Face) -> Path:
    """Where the font file of a face lies."""
    spec = find_spec(face.package)
    if spec is None or spec.origin is None:
        raise ModuleNotFoundError(f"the font package {face.package} is not installed")
    return Path(spec.origin).parent / "files" / face.file


def face_file(face: Face) -> bytes:
    """The whole font file of a face."""
    return face_path(face).read_bytes()


@lru_cache(maxsize=len(FACES))
def measures_of(face: Face) -> Measures:
    """The measures of a face."""
    source, about = f"{Path(__file__).parent}/{face.name}", face_path(face).stat()
    made_with = f"{_recipe()} {about.st_size} {about.st_mtime_ns}"
    if content := found_beside(source, made_with):
        signs, advances, *heights = json.loads(content)
        return Measures(dict(zip(signs, advances, strict=True)), *heights)
    found = _read(face)
    heights = [found.ascent, found.descent, found.capital]
    kept = [list(found.advances), list(found.advances.values()), *heights]
    keep_beside(source, made_with, json.dumps(kept).encode())
    return found


@cache
def _recipe() -> str:
    """This module, word for word: another one reads otherwise."""
    return hashlib.sha256(Path(__file__).read_bytes()).hexdigest()


def _read(face: Face) -> Measures:
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    with TTFont(face_path(face), lazy=True) as font:
        scale = Fraction(1000, font["head"].unitsPerEm)
        widths = font["hmtx"].metrics
        advances = {sign: int(widths[name][0] * scale) for sign, name in font.getBestCmap().items()}
        return Measures(
            advances,
            int(font["hhea"].ascent * scale),
            int(-font["hhea"].descent * scale),
            int(font["OS/2"].sCapHeight * scale),
        )
