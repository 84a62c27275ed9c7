"""The form of a tag: its size, and where selvedge, hole, words and code have their places.

In: width and height in millimetres, the side of the code. Out: a `Form`. All measures grow and
shrink with the tag, letters and safe edge excepted. An upright tag has its hole in the middle of
the head and the code beside the price; a wide one has both in a column at the right.
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache

from provenance.papers.tags.imposition import SAFE, in_mm
from provenance.press.codes.qr import CLEAR, LEAST_MODULE_MM, MODULE_MM
from provenance.problems import Said, Slip

HOLE_RADIUS = Fraction(2)
HOLE_FROM_EDGE = Fraction(6)  # its middle; 4 mm holes, 6 mm in, 3 mm kept clear: common practice
HOLE_CLEAR = Fraction(3)
STUB = Fraction(16)
NORMAL = (Fraction(55), Fraction(90))
SMALLEST = (Fraction(30), Fraction(40))
_SCALES = (Fraction(3, 4), Fraction(3, 2))


@dataclass(frozen=True)
class Form:
    """One tag's form. `code_modules` counts a side of the code with its clear edge, 0 for none.

    Tags of a run share their forms, and each measure is worked out once.
    """

    width: Fraction
    height: Fraction
    code_modules: int
    has_stub: bool

    @cached_property
    def is_wide(self) -> bool:
        return self.width > self.height

    @cached_property
    def scale(self) -> Fraction:
        """How much larger than a tag of 55 x 90 mm it is."""
        short, long = sorted((self.width, self.height))
        return max(_SCALES[0], min(_SCALES[1], short / NORMAL[0], long / NORMAL[1]))

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
        return self.selvedge + max(Fraction(3), self.scaled("4.6"))

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
        return max(SAFE + 1, self.scaled("4.6"))

    @cached_property
    def text_width(self) -> Fraction:
        return self.text_right - self.text_left

    @cached_property
    def text_top(self) -> Fraction:
        """Top of the first capitals."""
        return self.margin + 1 if self.is_wide else self.hole_end + self.scaled("1.6")

    @cached_property
    def foot_baseline(self) -> Fraction:
        """Baseline of the last line."""
        return self.height - self.margin

    @cached_property
    def foot_width(self) -> Fraction:
        """Room for the price and the words below it, beside the code."""
        right = min(self.text_right, self.code_left) if self.code_modules else self.text_right
        return right - self.text_left

    @cached_property
    def module(self) -> Fraction:
        """Side of one module of the code: 0.5 mm, 0.45 on a small tag, more on a large one."""
        least, normal = Fraction(LEAST_MODULE_MM), Fraction(MODULE_MM)
        return max(least, min(Fraction(6, 10), normal * self.scale))

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
def form_of(width: Fraction, height: Fraction, code_modules: int, *, has_stub: bool) -> Form:
    """The form of a tag of this size; Slip when it is too small for one."""
    form = Form(width, height, code_modules, has_stub)
    if min(width, height) < SMALLEST[0] or max(width, height) < SMALLEST[1]:
        what = Said("tag_slip.too_small", **in_mm(width=width, height=height))
        raise Slip(what, Said("tag_slip.least"))
    if code_modules and (form.code_top < form.hole_end or form.code_left < form.selvedge):
        what = Said("tag_slip.code", **in_mm(side=form.code_side, width=width, height=height))
        raise Slip(what, Said("tag_slip.shorter_address"))
    return form
