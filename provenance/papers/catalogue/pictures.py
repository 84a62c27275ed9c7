"""The pictures of the book: each as large as its place allows, never cropped, never enlarged.

In: a photo of a work, a box in millimetres. Out: a `Picture` for the page; later, all made beside
each other on all cores, its JPEG among the book's files at 300 pixels an inch where the photo has
them; a remark below 200 (`showing`: 300 at the final size, 240 passes). A photo that can't be read
leaves no hole: the work goes without it, and the slip is told.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from provenance.press.pdf.files import Files
from provenance.press.pictures.photos import Upright, for_print, open_photo
from provenance.problems import Slip
from provenance.public.catalogue import Entry
from provenance.public.piece import PhotoFacts
from provenance.public.studio import PublicStudio
from provenance.workers import workers

DPI, LEAST_DPI = 300, 200
SCREEN_DPI = 120
_INCH = 25.4
Printed = Callable[[Upright, float], bytes]  # a photo and its width in mm: a JPEG
Named = Callable[[int, int, str], None]
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


@dataclass(frozen=True, slots=True)
class _Wanted:
    """A picture that is to be made: of which work and photo, how wide in millimetres, where."""

    entry: Entry
    photo: PhotoFacts
    seen: Upright
    width: float
    into: Path


def _print(printed: Printed, seen: Upright, width: float, into: Path) -> None:
    """For a worker: the picture goes to the disk, not through the parent."""
    into.write_bytes(printed(seen, width))


@dataclass
class Pictures:
    """Finds the pictures' sizes, makes them, keeps count. `slips` are photos that can't be
    shown, `coarse` those with fewer pixels than print wants: number of the work, file, why or
    pixels an inch. `widths` are the pixels that the screen's file has of each."""

    studio: PublicStudio
    files: Files
    seen: dict[str, Upright | None] = field(default_factory=dict)
    wanted: list[_Wanted] = field(default_factory=list)
    slips: list[tuple[str, str, Slip]] = field(default_factory=list)
    coarse: list[tuple[str, str, int]] = field(default_factory=list)
    widths: dict[str, int] = field(default_factory=dict)

    def put(self, entry: Entry, photo: PhotoFacts, box: Box) -> Picture | None:
        """The photo as large as it goes into a box; None where it can't be read."""
        seen, number = self._look(entry.piece.number, photo), entry.piece.number
        if not seen:
            return None
        shape = seen.height / seen.width
        width = round(min(box[0], box[1] / shape), 2)
        name = f"{number}-{entry.piece.photos.index(photo)}.jpg"
        self.wanted.append(_Wanted(entry, photo, seen, width, self.files.place_for(name)))
        self._measure(number, photo.file, seen.width, width)
        self.widths[name] = round(min(seen.width, SCREEN_DPI * width / _INCH))
        return Picture(name, photo.alt or entry.piece.title, photo.view, width,
                       round(width * shape, 2), self._across(photo))  # fmt: skip

    def _look(self, number: str, photo: PhotoFacts) -> Upright | None:
        """The photo, not decoded; None for one that can't be read, which is told once."""
        if photo.path not in self.seen:
            try:
                self.seen[photo.path] = open_photo(self.studio.folder, photo.path)
            except Slip as slip:
                self._refuse(number, photo, slip)
        return self.seen[photo.path]

    def _refuse(self, number: str, photo: PhotoFacts, slip: Slip) -> None:
        self.slips.append((number, photo.file, slip))
        self.seen[photo.path] = None

    def make(self, printed: Printed, named: Named) -> bool:
        """Make all that is wanted; False where one can't be: then all has to be put again."""
        wanted, self.wanted = self.wanted, []
        with workers(len(wanted)) as pool:
            jobs = [pool.submit(_print, printed, job.seen, job.width, job.into) for job in wanted]
            for done, (one, job) in enumerate(zip(wanted, jobs, strict=True)):
                named(done, len(wanted), one.entry.piece.title)
                try:
                    job.result()
                except Slip as slip:
                    self._refuse(one.entry.piece.number, one.photo, slip)
        if whole := all(self.seen[one.photo.path] for one in wanted):
            named(len(wanted), len(wanted), "")
        else:
            self.coarse.clear()
            self.widths.clear()
        return whole

    def _measure(self, number: str, file: str, pixels: int, width: float) -> None:
        dpi = int(pixels * _INCH / width)
        if dpi < LEAST_DPI:
            self.coarse.append((number, file, dpi))

    def _across(self, photo: PhotoFacts) -> str:
        return f"{self.studio.phrases.number(photo.across, 1)} cm" if photo.across else ""
