"""The form of a tag: its size, and where selvedge, hole, words and code have their places.

In: width and height in millimetres, the modules of the code. Out: a `Form`. All measures grow and
shrink with the tag, letters and safe edge excepted. An upright tag has its hole in the middle of
the head and the code beside the price; a wide one has both in a column at the right. Under the code
stands in words where it leads.

The code is 17 mm wide on a normal tag. Its module is never under half a millimetre: trials with
zxing-cpp at 150 dots an inch under a blur of 1.2 dots read all codes from 0.49 mm on, not all at
0.46. As much correction as that module allows is taken: on a normal tag level H for most addresses,
which a blot over 15 % of the symbol leaves readable (level M: 5 %); on a tag of half the size there
is room for level M alone.
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache

from provenance.papers.tags.imposition import SAFE, in_mm
from provenance.papers.tags.style import FACES, LEADING, PAGE, capital
from provenance.press.codes.qr import CLEAR, MODULE_MM
from provenance.press.letters.measure import POINT, lines_of
from provenance.problems import Said, Slip

HOLE_RADIUS = Fraction(2)
HOLE_FROM_EDGE = Fraction(6)  # its middle; 4 mm holes, 6 mm in, 3 mm kept clear: common practice
HOLE_CLEAR = Fraction(3)
STUB = Fraction(16)
NORMAL = (Fraction(55), Fraction(90))
SMALLEST = (Fraction(30), Fraction(40))
_SCALES = (Fraction(3, 4), Fraction(3, 2))
CODE = Fraction(17)
MODULE = Fraction(MODULE_MM)


def scale_of(width: Fraction, height: Fraction) -> Fraction:
    """How much larger than a tag of 55 x 90 mm one is: from three quarters to one and a half."""
    short, long = sorted((width, height))
    return max(_SCALES[0], min(_SCALES[1], short / NORMAL[0], long / NORMAL[1]))


def most_modules(width: Fraction, height: Fraction) -> int:
    """How many modules a side the code of a tag may have and still be read when blurred."""
    return int(CODE * scale_of(width, height) / MODULE)


@dataclass(frozen=True)
class Form:
    """One tag's form. `code_modules` counts a side of the code with its clear edge, 0 for none;
    `page` says in words where the code leads.

    Tags of a run share their forms, and each measure is worked out once.
    """

    width: Fraction
    height: Fraction
    code_modules: int
    has_stub: bool
    page: str = ""

    @cached_property
    def is_wide(self) -> bool:
        return self.width > self.height

    @cached_property
    def scale(self) -> Fraction:
        """How much larger than a tag of 55 x 90 mm it is."""
        return scale_of(self.width, self.height)

    def scaled(self, millimetres: str) -> Fraction:
        """A measure of the normal tag at this tag's scale."""
        return Fraction(millimetres) * self.scale

    @cached_property
    def selvedge(self) -> Fraction:
        """Width of the selvedge inside the cut."""
        return self.scaled("5")

    @cached_property
    def cell_height(self) -> Fraction:
        """The tag with its stub."""
        return self.height + (STUB if self.has_stub else 0)

    @cached_property
    def hole(self) -> tuple[Fraction, Fraction]:
        """Middle of the hole."""
        if self.is_wide:
            return self.width - HOLE_FROM_EDGE - 1, HOLE_FROM_EDGE
        return self.width / 2, HOLE_FROM_EDGE

    @cached_property
    def hole_end(self) -> Fraction:
        """How far the room kept clear for the hole reaches down."""
        return HOLE_FROM_EDGE + HOLE_RADIUS + HOLE_CLEAR

    @cached_property
    def text_left(self) -> Fraction:
        return self.selvedge + max(Fraction(3), self.scaled("4"))

    @cached_property
    def text_right(self) -> Fraction:
        """Right edge of words: of the tag, or of the column left by hole and code."""
        if not self.is_wide:
            return self.width - self.margin
        beside_hole = self.hole[0] - HOLE_RADIUS - HOLE_CLEAR
        return min(beside_hole, self.code_left) if self.code_modules else beside_hole

    @cached_property
    def margin(self) -> Fraction:
        """From words to the right and lower cut."""
        return max(SAFE + 1, self.scaled("4.2"))

    @cached_property
    def text_width(self) -> Fraction:
        return self.text_right - self.text_left

    @cached_property
    def text_top(self) -> Fraction:
        """Top of the first capitals."""
        return self.margin + 1 if self.is_wide else self.hole_end + self.scaled("0.9")

    @cached_property
    def page_size(self) -> Fraction:
        """Size in points of the line under the code: the largest that holds it in one line."""
        sizes = [max(PAGE[-1], size * self.scale) for size in PAGE]
        return next((size for size in sizes if len(self._page_lines(size)) == 1), sizes[-1])

    @cached_property
    def page_lines(self) -> tuple[str, ...]:
        """Where the code leads, in words: one line, or two."""
        return self._page_lines(self.page_size) if self.page and self.code_modules else ()

    def _page_lines(self, size: Fraction) -> tuple[str, ...]:
        room = self.width - self.margin - self.text_left
        for text in (self.page, self.page.replace(": ", ":\n")):
            lines = lines_of(text, FACES["page"], size, room)
            if len(lines) <= 1 + text.count("\n"):
                return lines
        return lines_of(self.page.split(":")[0], FACES["page"], size, room)

    @cached_property
    def page_baseline(self) -> Fraction:
        """Baseline of the first line under the code."""
        under = self.page_size * POINT * LEADING * (len(self.page_lines) - 1)
        return self.height - max(SAFE + Fraction(6, 10), self.scaled("3.6")) - under

    @cached_property
    def foot_baseline(self) -> Fraction:
        """Baseline of the last line beside the code, on which its dark modules stand."""
        if not self.page_lines:
            return self.height - self.margin
        clear = CLEAR * self.module + Fraction(3, 10)  # and the tops of its d, f, h
        return self.page_baseline - capital("page", self.page_size) - clear

    @cached_property
    def foot_width(self) -> Fraction:
        """Room for the price and the words below it, beside the code."""
        right = min(self.text_right, self.code_left) if self.code_modules else self.text_right
        return right - self.text_left

    @cached_property
    def module(self) -> Fraction:
        """Side of one module of the code in millimetres."""
        return max(MODULE, CODE * self.scale / max(self.code_modules - 2 * CLEAR, 1))

    @cached_property
    def code_side(self) -> Fraction:
        """Side of the code with its clear edge."""
        return self.code_modules * self.module

    @cached_property
    def code_left(self) -> Fraction:
        """Left of the code's clear edge; its dark modules end at the margin."""
        return self.width - self.margin + CLEAR * self.module - self.code_side

    @cached_property
    def code_top(self) -> Fraction:
        """Top of the code's clear edge; its dark modules stand on the last baseline."""
        return self.foot_baseline + CLEAR * self.module - self.code_side


@lru_cache(maxsize=64)
def form_of(
    width: Fraction, height: Fraction, code_modules: int, *, has_stub: bool, page: str = ""
) -> Form:
    """The form of a tag of this size; Slip when it is too small for one."""
    form = Form(width, height, code_modules, has_stub, page)
    if min(width, height) < SMALLEST[0] or max(width, height) < SMALLEST[1]:
        what = Said("tag_slip.too_small", **in_mm(width=width, height=height))
        raise Slip(what, Said("tag_slip.least"))
    if code_modules and (form.code_top < form.hole_end or form.code_left < form.selvedge):
        what = Said("tag_slip.code", **in_mm(side=form.code_side, width=width, height=height))
        raise Slip(what, Said("tag_slip.shorter_address"))
    return form
