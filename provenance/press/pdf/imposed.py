"""A booklet: pages two to a sheet, in the order in which the sheets are folded and stapled.

In: a PDF of single pages (with bleed or without), their trim, the sheet, how thick the paper is.
Out: `Booklet`. Sheet i of n (from 1, the outermost) is pushed out at the fore-edge by (i - 1) times
the paper's thickness once it is folded, so its pages are set nearer to the fold by as much (creep,
hps-ltd.org.uk). Pages are filled up to fours. In front lies a sheet of words on how to print, fold
and staple. Equal papers give equal bytes.
"""

from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from provenance.press.pdf.boxes import LONG_MM, Box, Size, all_inks, line, marks, trim_of
from provenance.press.pdf.drawn import POINTS, Leaf, drawn_pdf, width_mm
from provenance.press.pdf.opening import opened, saved

MOST_PAGES = 64  # that staples hold, by printers' custom 64 to 80
# Sheets in mm, wider than high, from small to large: ISO 216, ISO 217 (SRA), ANSI/ASME Y14.1.
SHEETS: dict[str, Size] = {
    "A4": (297.0, 210.0), "SRA4": (320.0, 225.0), "A3": (420.0, 297.0), "SRA3": (450.0, 320.0),
    "A2": (594.0, 420.0), "A1": (841.0, 594.0),
}  # fmt: skip
AMERICAN: dict[str, Size] = {"Letter": (279.4, 215.9), "Tabloid": (431.8, 279.4)}
STAPLES = (0.25, 0.75)  # of the height of the fold, common practice
_TICK_MM = 2.0
_HEAD_PT, _WORDS_PT, _MARGIN_MM = 24.0, 13.0, 22.0
_LEADING, _AFTER = 1.35, 0.7

Pair = tuple[int, int]
Edge = Literal["short", "long"]


@dataclass(frozen=True, slots=True)
class Sheet:
    """What a booklet is printed on, in mm, as its pages stand upright on it."""

    name: str
    width: float
    height: float

    @property
    def turns(self) -> Edge:
        """The edge that a printer on both sides must turn it by: that along the fold."""
        return "short" if self.width >= self.height else "long"


@dataclass(frozen=True, slots=True)
class Booklet:
    """An imposed booklet. `pages` are those of the book, blank ones too; `creep` in mm is how far
    the innermost sheet is pushed out; `is_thick` where staples may not hold it."""

    content: bytes
    pages: int
    sheets: int
    sheet: Sheet
    creep: float

    @property
    def is_thick(self) -> bool:
        return self.pages > MOST_PAGES


def sheet_for(trim: Size, *, is_american: bool = False) -> Sheet:
    """The smallest sheet that holds two pages side by side; an own one where none does."""
    wide, high = 2 * trim[0], trim[1]
    for name, (long, short) in ({**AMERICAN, **SHEETS} if is_american else SHEETS).items():
        for width, height in ((long, short), (short, long)):
            if wide <= width and high <= height:
                return Sheet(name, width, height)
    return Sheet("", wide, high)


def sides_of(pages: int) -> list[tuple[Pair, Pair]]:
    """Front and back of each sheet, the outermost first: left and right page, from 1."""
    whole = filled(pages)
    return [
        ((whole - 2 * at, 2 * at + 1), (2 * at + 2, whole - 2 * at - 1)) for at in range(whole // 4)
    ]


def filled(pages: int) -> int:
    """Pages in fours."""
    return -(-pages // 4) * 4


def booklet(
    paper: bytes | Path, trim: Size, *, sheet: Sheet | None = None, thickness: float = 0.0,
    said: Sequence[str] = (), into: Path | None = None,
) -> Booklet:  # fmt: skip
    """The booklet; `trim` and `thickness` in mm. `said` are the lines of the sheet in front, the
    first of them large; without lines there is none. Its content is empty where it
    goes `into` a file."""
    import pikepdf

    on = sheet or sheet_for(trim)
    with ExitStack() as held:
        source = held.enter_context(opened(paper))
        made = held.enter_context(pikepdf.new())
        if said:
            _put_in_front(made, on, said)
        sides = sides_of(len(source.pages))
        setter = _Setter(made, source, trim, on)
        for turn, (front, back) in enumerate(sides):
            setter.side(front, turn * thickness, is_outside=not turn)
            setter.side(back, turn * thickness, is_outside=False)
        made.Root.Lang = source.Root.get("/Lang", pikepdf.String(""))
        made.Root.ViewerPreferences = pikepdf.Dictionary(
            PrintScaling=pikepdf.Name("/None"),
            Duplex=pikepdf.Name(f"/DuplexFlip{on.turns.capitalize()}Edge"),
        )  # fmt: skip
        content = saved(made, into)
    most = max(len(sides) - 1, 0) * thickness
    return Booklet(content, 4 * len(sides), len(sides), on, most)


def _put_in_front(made: Any, on: Sheet, said: Sequence[str]) -> None:
    """A sheet of words, blank on its back."""

    leaf, y = Leaf(on.width, on.height), _MARGIN_MM + _HEAD_PT / POINTS
    for turn, words in enumerate(said):
        size = _WORDS_PT if turn else _HEAD_PT
        for row in _rows(words, size, on.width - 2 * _MARGIN_MM):
            leaf.words((_MARGIN_MM, y), row, size)
            y += size * _LEADING / POINTS
        y += size * _AFTER / POINTS
    content = drawn_pdf([leaf, Leaf(on.width, on.height)], said[0], "", "", None)
    with opened(content) as front:
        made.pages.extend(front.pages)


def _rows(words: str, size: float, room: float) -> Iterator[str]:
    """A text in lines that go into so many mm."""
    row = ""
    for word in words.split():
        longer = f"{row} {word}".strip()
        if row and width_mm(longer, size) > room:
            yield row
            longer = word
        row = longer
    yield row


class _Setter:
    """Sets two pages on each side of a sheet."""

    def __init__(self, made: Any, source: Any, trim: Size, on: Sheet) -> None:
        self.made, self.source, self.trim = made, source, trim
        self.size = on.width * POINTS, on.height * POINTS
        wide, high = trim[0] * POINTS, trim[1] * POINTS
        self.fold, low = self.size[0] / 2, (self.size[1] - high) / 2
        self.open = Box(self.fold - wide, low, self.fold + wide, low + high)

    def side(self, pair: Pair, creep: float, *, is_outside: bool) -> None:
        """A left and a right page, each `creep` mm nearer to the fold."""
        import pikepdf

        page = self.made.add_blank_page(page_size=self.size)
        page.Resources = pikepdf.Dictionary(ColorSpace=pikepdf.Dictionary(All=all_inks()))
        parts = [
            self._half(page, number, creep * POINTS, is_left=not at) for at, number in
            enumerate(pair) if number <= len(self.source.pages)
        ]  # fmt: skip
        parts += self._marks(is_outside=is_outside)
        page.Contents = self.made.make_stream("\n".join(parts).encode())

    def _half(self, page: Any, number: int, creep: float, *, is_left: bool) -> str:
        import pikepdf

        one = self.source.pages[number - 1]
        trim = trim_of(one, self.trim)
        form = self.made.copy_foreign(one.as_form_xobject())
        form.BBox = [float(side) for side in one.mediabox]
        for tag in ("/StructParent", "/StructParents"):
            if tag in form:
                del form[tag]
        kind = pikepdf.Name.XObject
        name = page.add_resource(form, kind, name=pikepdf.Name(f"/Page{number}"))
        x = self.fold - trim.right + creep if is_left else self.fold - trim.left - creep
        half = Box(0, 0, self.fold, self.size[1]) if is_left else Box(self.fold, 0, *self.size)
        return f"q {half.path} W n 1 0 0 1 {x:.3f} {self.open.low - trim.low:.3f} cm {name} Do Q"

    def _marks(self, *, is_outside: bool) -> Iterator[str]:
        """Where to fold, cut and staple: outside the pages where the sheet has room; on the fold of
        the outermost sheet, where fold and staple hide them."""
        bleed, room = self._bleed, self.open.low / POINTS
        yield "q /All CS 1 SCN 0.25 w [] 0 d"
        if room > LONG_MM:
            yield "[2 2] 0 d"
            yield line((self.fold, 0), (self.fold, self.open.low - bleed))
            yield line((self.fold, self.open.high + bleed), (self.fold, self.size[1]))
            yield "[] 0 d"
        if is_outside:
            tick = _TICK_MM * POINTS / 2
            for part in (0.0, *STAPLES, 1.0):
                y = self.open.low + part * self.open.height
                yield line((self.fold, y - tick), (self.fold, y + tick))
        yield "Q"
        if room > LONG_MM:
            yield from marks(self.open, bleed, targets=False)

    @property
    def _bleed(self) -> float:
        """What the pages show beyond their trim, in points."""
        if not len(self.source.pages):
            return 0.0
        page = self.source.pages[0]
        return trim_of(page, self.trim).left - float(page.mediabox[0])
