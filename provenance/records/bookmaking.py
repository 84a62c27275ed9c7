"""What a printed book may be: the size of its pages, how far they bleed, its paper.

In: the words of a record: `A5`, `Letter`, `5.5 x 8.5 in`; 3 mm; `115 g matt coated`. Out: exact
millimetres and grams, or a Slip with what would be right. The same rule holds when the records are
checked and when the book is made. Sizes by name are those of `records.printing`.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

from provenance.problems import Said, Slip
from provenance.records.printing import sheet_of

SMALLEST, LARGEST = 100, 450  # mm, a side of a page
MOST_BLEED = Fraction(10)  # mm; printers ask for 3, a few for 5
LEAST_GRAMS, MOST_GRAMS = 30, 500  # a square metre: from bible paper to board
_GRAMS = re.compile(r"(?<![\w.,])([0-9]+(?:[.,][0-9]+)?)\s*(?:gsm|g/m2|g/m²|g/qm|g)(?![\w/])")
# Papers are sold as silk, gloss or matt, which are coats; matt alone may be either.
_COATED = re.compile(r"\b(?:coated|silk|gloss|glossy|(?:matt|glanz|halbmatt)?gestrichen)\b")
_UNCOATED = re.compile(r"\b(?:un|non-?|not |nicht )(?:coated|gestrichen)(?:es|em|er)?\b")


def page_of(text: str) -> tuple[Fraction, Fraction]:
    """Width and height of a page in millimetres."""
    try:
        sheet = sheet_of(text.strip())
    except Slip:
        raise Slip(Said("catalogue.no_size", size=text), Said("catalogue.write_size")) from None
    if not all(SMALLEST <= side <= LARGEST for side in (sheet.width, sheet.height)):
        raise Slip(Said("catalogue.odd_size", size=text), Said("catalogue.write_size"))
    return sheet.width, sheet.height


def bleed_of(length: Fraction) -> Fraction:
    """How far pictures go beyond the cut, in millimetres; `length` in cm."""
    bleed = Fraction(length) * 10
    if not 0 <= bleed <= MOST_BLEED:
        raise Slip(Said("catalogue.bleed", most=MOST_BLEED), Said("catalogue.write_bleed"))
    return bleed


@dataclass(frozen=True, slots=True)
class PaperAsked:
    """A paper: grams a square metre; `is_said` where the maker says whether it is coated."""

    grams: Fraction
    is_coated: bool
    is_said: bool


def paper_of(text: str) -> PaperAsked:
    """The paper that is named: its grams, whatever else is said; coated where a word says so."""
    plain = text.lower()
    found = _GRAMS.findall(plain)
    grams = Fraction(found[0].replace(",", ".")) if len(found) == 1 else Fraction(0)
    if not LEAST_GRAMS <= grams <= MOST_GRAMS:
        raise Slip(Said("paper.unknown", text=text), Said("paper.write"))
    is_uncoated = bool(_UNCOATED.search(plain))
    is_coated = not is_uncoated and bool(_COATED.search(plain))
    return PaperAsked(grams, is_coated, is_coated or is_uncoated)
