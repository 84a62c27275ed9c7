"""Pages for a press: the boxes a printer asks for, and marks that stay outside the bleed.

In: a PDF whose pages hold their trim in the middle of what they show, with as much bleed around it
as is said. Out: the same pages, tags and links, on a larger sheet: MediaBox, BleedBox and TrimBox
(ISO 32000-2, 14.11.2), crop marks at the corners and a target at the middle of each side, in the
colour of all inks (8.6.6.4, Separation All). What lies beyond the bleed is cut away; no mark
reaches into it, as printers ask. It is still tagged, but no longer PDF/A. Equal papers give equal
bytes.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from provenance.press.pdf.claims import no_archive
from provenance.press.pdf.drawn import POINTS, Leaf, drawn_pdf, width_mm
from provenance.press.pdf.opening import opened, saved

Size = tuple[float, float]
GAP_MM, LONG_MM, EDGE_MM = 1.0, 5.0, 1.0  # bleed to mark, the mark, mark to the sheet's edge
WIDE_PT = 0.25
_TARGET_MM = 1.6
_WORDS_PT = 8.0
_BEND = 0.5523  # of a radius: four such bends make a circle


@dataclass(frozen=True, slots=True)
class Box:
    """A box on a page in points, from its lower left corner."""

    left: float
    low: float
    right: float
    high: float

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.high - self.low

    def grown(self, by: float) -> "Box":
        """Wider by so much on every side."""
        return Box(self.left - by, self.low - by, self.right + by, self.high + by)

    @property
    def sides(self) -> list[float]:
        """As a PDF writes it."""
        return [round(side, 3) for side in (self.left, self.low, self.right, self.high)]

    @property
    def path(self) -> str:
        """As a path to clip by."""
        return f"{self.left:.3f} {self.low:.3f} {self.width:.3f} {self.height:.3f} re"


def trim_of(page: Any, size: Size) -> Box:
    """Where a page's trim lies: in the middle of all that it shows; `size` in mm."""
    left, low, right, high = (float(side) for side in page.mediabox)
    wide, deep = (side * POINTS for side in size)
    x, y = (left + right - wide) / 2, (low + high - deep) / 2
    return Box(x, y, x + wide, y + deep)


def with_marks(
    paper: bytes | Path, trim: Size, bleed: float, named: str = "", into: Path | None = None
) -> bytes:
    """The paper with boxes and marks; `trim` and `bleed` in mm. `named` stands small outside the
    bleed with each page's place: `Low water 12/64`. The bytes, none where they go `into` a file."""
    with opened(paper) as document:
        words = _words(trim, bleed, named, len(document.pages))
        with opened(words) as said:
            for turn, (page, outside) in enumerate(zip(document.pages, said.pages, strict=True)):
                box = trim_of(page, trim)
                _set_boxes(page, box, bleed * POINTS)
                words_form = document.copy_foreign(outside.as_form_xobject())
                _lay_over(page, turn, _drawn(document, box, bleed * POINTS), words_form)
        no_archive(document)
        return saved(document, into)


def _set_boxes(page: Any, trim: Box, bleed: float) -> None:
    """The boxes of a page; what lies beyond its bleed is cut away."""
    whole, bled = trim.grown(bleed + slug_mm() * POINTS), trim.grown(bleed)
    page.mediabox = page.cropbox = whole.sides
    page.bleedbox, page.trimbox = bled.sides, trim.sides
    if "/ArtBox" in page.obj:
        del page.obj["/ArtBox"]
    page.contents_add(f"q {bled.path} W n\n".encode(), prepend=True)


def _drawn(document: Any, trim: Box, bleed: float) -> Any:
    """The marks as a drawing to lay over a page."""
    import pikepdf

    form = document.make_stream("\n".join(marks(trim, bleed)).encode())
    form.Type, form.Subtype = pikepdf.Name.XObject, pikepdf.Name.Form
    form.BBox = trim.grown(bleed + slug_mm() * POINTS).sides
    form.Resources = pikepdf.Dictionary(ColorSpace=pikepdf.Dictionary(All=all_inks()))
    return form


def _lay_over(page: Any, turn: int, drawn: Any, words: Any) -> None:
    """Marks and words on a page; names by its turn, since pages may share what they use."""
    import pikepdf

    kind, name = pikepdf.Name.XObject, pikepdf.Name
    marked = page.add_resource(drawn, kind, name=name(f"/Marks{turn}"))
    said = page.add_resource(words, kind, name=name(f"/Outside{turn}"))
    x, y, *_ = drawn.BBox
    over = f"\nQ /Artifact BMC {marked} Do q 1 0 0 1 {x} {y} cm {said} Do Q EMC"
    page.contents_add(over.encode())


def slug_mm() -> float:
    """How far the sheet reaches beyond the bleed."""
    return GAP_MM + LONG_MM + EDGE_MM


def all_inks() -> Any:
    """The colour space of marks: every ink there is, grey where a screen shows it."""
    import pikepdf

    tint = pikepdf.Dictionary(FunctionType=2, Domain=[0, 1], C0=[1], C1=[0], N=1)
    name = pikepdf.Name
    return pikepdf.Array([name.Separation, name.All, name.DeviceGray, tint])


def marks(trim: Box, bleed: float, *, targets: bool = True) -> Iterator[str]:
    """Crop marks at the corners and targets at the sides, drawn in the colour `/All`; points."""
    near, far = bleed + GAP_MM * POINTS, bleed + (GAP_MM + LONG_MM) * POINTS
    yield f"q /All CS 1 SCN {WIDE_PT} w [] 0 d"
    for y in (trim.low, trim.high):
        yield line((trim.left - far, y), (trim.left - near, y))
        yield line((trim.right + near, y), (trim.right + far, y))
    for x in (trim.left, trim.right):
        yield line((x, trim.low - far), (x, trim.low - near))
        yield line((x, trim.high + near), (x, trim.high + far))
    if targets:
        away, (x, y) = (near + far) / 2, _middle(trim)
        for at in ((trim.left - away, y), (trim.right + away, y),
                   (x, trim.low - away), (x, trim.high + away)):  # fmt: skip
            yield from _target(at)
    yield "Q"


def line(start: Size, end: Size) -> str:
    """A stroke from point to point."""
    return f"{start[0]:.3f} {start[1]:.3f} m {end[0]:.3f} {end[1]:.3f} l S"


def _middle(box: Box) -> Size:
    return (box.left + box.right) / 2, (box.low + box.high) / 2


def _target(at: Size) -> Iterator[str]:
    """A circle and a cross, to lay one ink over another by."""
    (x, y), r = at, _TARGET_MM * POINTS
    bend, arm = r * 0.6, 1.4 * r
    k = bend * _BEND
    ring: Sequence[tuple[float, ...]] = (
        (x + bend, y + k, x + k, y + bend, x, y + bend),
        (x - k, y + bend, x - bend, y + k, x - bend, y),
        (x - bend, y - k, x - k, y - bend, x, y - bend),
        (x + k, y - bend, x + bend, y - k, x + bend, y),
    )
    path = " ".join(" ".join(f"{each:.3f}" for each in part) + " c" for part in ring)
    yield f"{x + bend:.3f} {y:.3f} m {path} S"
    yield line((x - arm, y), (x + arm, y))
    yield line((x, y - arm), (x, y + arm))


def _words(trim: Size, bleed: float, named: str, count: int) -> bytes:
    """A page of words for each page, to lie outside the bleed; without a name they are empty."""
    out = bleed + slug_mm()
    wide, high = trim[0] + 2 * out, trim[1] + 2 * out
    leaves = []
    for turn in range(1, count + 1):
        leaf = Leaf(wide, high)
        if named:
            at = (out + 2 * GAP_MM, high - EDGE_MM - LONG_MM / 2 + 1)
            leaf.words(at, _fitted(named, f" {turn}/{count}", trim[0] / 2 - 5), _WORDS_PT,
                       is_told=False)  # fmt: skip
        leaf.signs.add(ord(" "))
        leaves.append(leaf)
    return drawn_pdf(leaves, named or "-", "", "", created=None)


def _fitted(words: str, place: str, room: float) -> str:
    while words and width_mm(words + place, _WORDS_PT) > room:
        words = words[:-1].rstrip()
    return words + place
