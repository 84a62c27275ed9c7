"""A printer's own profile: which inks give which colour on that press and paper.

In: the bytes of an ICC profile for CMYK (ICC.1), colours and pictures in sRGB. Out: the same in
inks, by LittleCMS: relative colorimetric with black point compensation, so that a cloth keeps the
colours that ink can give and shadows keep their steps. Black letters are not made here: they are
black ink alone. `most` is the heaviest coat of ink of a picture, in percent of one full ink.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from provenance.press.pictures.profiles import srgb
from provenance.problems import Said, Slip

if TYPE_CHECKING:
    from PIL.Image import Image

QUALITY = 85  # as pictures for print have it
Inks = tuple[float, float, float, float]
_HEAD = 128
_SIGN, _SPACE, _CLASS = slice(36, 40), slice(16, 20), slice(12, 16)


@dataclass(frozen=True, slots=True)
class InInks:
    """A picture in inks: a JPEG or raw pixels, and its heaviest coat in percent (400 at most)."""

    content: bytes
    width: int
    height: int
    most: int


class Press:
    """A printer's profile, opened; Slip for a file that is none."""

    def __init__(self, content: bytes, name: str) -> None:
        if len(content) < _HEAD or content[_SIGN] != b"acsp":
            raise Slip(Said("inks.no_profile", name=name), Said("inks.ask_printer"))
        if content[_CLASS] != b"prtr" and content[_SPACE] == b"CMYK":
            raise Slip(Said("inks.no_press", name=name), Said("inks.ask_printer"))
        if content[_SPACE] != b"CMYK":
            space = content[_SPACE].decode("ascii", "replace").strip()
            raise Slip(Said("inks.other_space", name=name, space=space), Said("inks.ask_printer"))
        self.content, self.name = content, name
        self._known: dict[tuple[int, int, int], Inks] = {}
        self._turn = self._made_transform()

    @cached_property
    def description(self) -> str:
        """What the profile calls itself."""
        from PIL import ImageCms

        told = ImageCms.getProfileDescription(self._opened)
        return told.strip() or self.name

    @cached_property
    def _opened(self) -> Any:
        from PIL import ImageCms

        return ImageCms.ImageCmsProfile(io.BytesIO(self.content))

    def _made_transform(self) -> Callable[[Image], Image]:
        from PIL import ImageCms

        try:
            made = ImageCms.buildTransform(
                srgb(), self._opened, "RGB", "CMYK", ImageCms.Intent.RELATIVE_COLORIMETRIC,
                ImageCms.Flags.BLACKPOINTCOMPENSATION,
            )  # fmt: skip
        except (ImageCms.PyCMSError, OSError, ValueError) as error:
            what = Said("inks.unusable", name=self.name, why=str(error).strip())
            raise Slip(what, Said("inks.ask_printer")) from None

        def turned(image: Image) -> Image:
            return ImageCms.applyTransform(image, made) or image

        return turned

    def colour(self, red: float, green: float, blue: float) -> Inks:
        """The inks of a colour in sRGB, all from 0 to 1. Black and greys are black ink alone."""
        from PIL import Image

        if red == green == blue:
            return (0.0, 0.0, 0.0, round(1 - red, 4))
        key = (round(red * 255), round(green * 255), round(blue * 255))
        if key not in self._known:
            pixel = self._turn(Image.new("RGB", (1, 1), key)).tobytes()
            self._known[key] = tuple(round(ink / 255, 4) for ink in pixel)  # type: ignore[assignment]
        return self._known[key]

    def photo(self, image: Image) -> InInks:
        """A picture as a JPEG in inks, as the Adobe marker has it: noughts are full ink."""
        made, into = self._turn(image.convert("RGB")), io.BytesIO()
        made.save(into, "JPEG", quality=QUALITY, subsampling=0)
        return InInks(into.getvalue(), *made.size, _heaviest(made))

    def flat(self, image: Image) -> InInks:
        """A drawn picture as raw pixels, four bytes each."""
        made = self._turn(image.convert("RGB"))
        return InInks(made.tobytes(), *made.size, _heaviest(made))


def open_press(folder: Path, name: str) -> Press:
    """The profile from the record folder."""
    from provenance.press.file_names import inside

    path = inside(folder, name)
    if not path.is_file():
        raise Slip(Said("inks.no_file", name=name), Said("inks.ask_printer"))
    return Press(path.read_bytes(), name)


def is_grey(image: Image) -> bool:
    """Whether a picture has no colour at all, as codes have none."""
    from PIL import ImageChops

    if image.mode in ("1", "L"):
        return True
    red, green, blue = image.convert("RGB").split()
    pairs = ((red, green), (green, blue))
    return all(ImageChops.difference(*pair).getbbox() is None for pair in pairs)


def _heaviest(image: Image) -> int:
    """The most ink on one point, in percent."""
    from PIL import ImageMath

    c, m, y, k = image.split()
    whole: Any = ImageMath.lambda_eval(lambda a: a["c"] + a["m"] + a["y"] + a["k"], c=c, m=m, y=y, k=k)
    return round(whole.getextrema()[1] * 100 / 255)
