"""The pictures of the book: each as large as its place allows, never cropped, never enlarged.

In: a photo of a work, a box in millimetres. Out: a `Picture` for the page, its JPEG among the
book's files at 300 pixels an inch where the photo has them; a remark below 200 (`showing`: 300 at
the final size, 240 passes). A photo that can't be read leaves no hole: the work goes without it,
and the slip is told.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

from provenance.press.pdf.files import Files
from provenance.press.pictures.photos import Upright, for_print, open_photo
from provenance.problems import Slip
from provenance.public.catalogue import Entry
from provenance.public.piece import PhotoFacts
from provenance.public.studio import PublicStudio

DPI, LEAST_DPI = 300, 200
SCREEN_DPI = 120
_INCH = 25.4
Printed = Callable[[Upright, float], bytes]  # a photo and its width in mm: a JPEG
Box = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture on its page: its file, the words for the unsighted, its sides in millimetres."""

    file: str
    alt: str
    view: str
    width: float
    height: float
    across: str = ""

    @property
    def shape(self) -> float:
        """Height for a width of one."""
        return self.height / self.width


def plate(photo: Upright, width: float) -> bytes:
    """A photo for print at so many millimetres."""
    return for_print(photo, width, dpi=DPI)


@dataclass
class Pictures:
    """Makes the pictures and keeps count. `slips` are photos that can't be shown, `coarse` those
    with fewer pixels than print wants: number of the work, file, why or pixels an inch. `widths`
    are the pixels that the screen's file has of each."""

    studio: PublicStudio
    files: Files
    printed: Printed = plate
    shapes: dict[str, float] = field(default_factory=dict)
    slips: list[tuple[str, str, Slip]] = field(default_factory=list)
    coarse: list[tuple[str, str, int]] = field(default_factory=list)
    widths: dict[str, int] = field(default_factory=dict)

    def shape(self, photo: PhotoFacts, number: str) -> float:
        """Height for a width of one; 0 for a photo that can't be read, which is told."""
        if photo.path not in self.shapes:
            try:
                seen = open_photo(self.studio.folder, photo.path)
                self.shapes[photo.path] = seen.height / seen.width
            except Slip as slip:
                self.slips.append((number, photo.file, slip))
                self.shapes[photo.path] = 0.0
        return self.shapes[photo.path]

    def put(self, entry: Entry, photo: PhotoFacts, box: Box) -> Picture | None:
        """The photo as large as it goes into a box; None where it can't be read."""
        number = entry.piece.number
        shape = self.shape(photo, number)
        if not shape:
            return None
        width = round(min(box[0], box[1] / shape), 2)
        name = f"{number}-{entry.piece.photos.index(photo)}.jpg"
        try:
            seen = open_photo(self.studio.folder, photo.path)
            self.files.lay_aside(name, self.printed(seen, width))
        except Slip as slip:
            self.slips.append((number, photo.file, slip))
            self.shapes[photo.path] = 0.0
            return None
        self._measure(number, photo.file, seen.width, width)
        self.widths[name] = round(min(seen.width, SCREEN_DPI * width / _INCH))
        return Picture(name, photo.alt or entry.piece.title, photo.view, width,
                       round(width * shape, 2), self._across(photo))  # fmt: skip

    def _measure(self, number: str, file: str, pixels: int, width: float) -> None:
        dpi = int(pixels * _INCH / width)
        if dpi < LEAST_DPI:
            self.coarse.append((number, file, dpi))

    def _across(self, photo: PhotoFacts) -> str:
        return f"{self.studio.phrases.number(photo.across, 1)} cm" if photo.across else ""
