"""The paper a book is printed on: how thick, how heavy, what follows for the book.

In: a paper as the maker writes it: `115 g`, `115 g coated`, `90 gsm uncoated`. Out: `PaperStock`,
lengths in mm, exact; Slip for what is none. A paper that isn't called coated counts as uncoated,
which is thicker: margins are then rather too wide than too narrow.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures import binding
from provenance.problems import Said, Slip
from provenance.reference.paper import COATED, UNCOATED, thickness

_PAPER = re.compile(
    r"([0-9]+(?:[.,][0-9]+)?)\s*(?:g|gsm|g/m2|g/m²|g/qm)(?:,?\s+(coated|uncoated))?", re.I
)
LEAST, MOST = 30, 500  # g a square metre: from bible paper to board


@dataclass(frozen=True, slots=True)
class PaperStock:
    """A paper. `mm` is one leaf; `is_listed` where a table has it, else it was worked out between
    two rows of it; `is_said` where the maker says whether it is coated."""

    grams: Fraction
    is_coated: bool
    mm: Fraction
    is_listed: bool
    is_said: bool
    source: str

    def creep(self, pages: int) -> Fraction:
        """How far the innermost sheet of a stapled book is pushed out."""
        return binding.creep(pages, self.mm)

    def margins(self, pages: int) -> binding.Size:
        """Inner and outer margin of a stapled book, the least advised."""
        return binding.margins(pages, self.mm)

    def spine(self, pages: int) -> Fraction:
        """The back of a glued book, without its cover."""
        return binding.spine(pages, self.mm)

    def block(self, pages: int) -> Fraction:
        """How thick a closed stapled book is."""
        return binding.block(pages, self.mm)

    def weight(self, pages: int, trim: tuple[float, float]) -> Fraction:
        """Grams of a copy all of this paper; `trim` in mm."""
        wide, high = (Fraction(str(side)) for side in trim)
        return binding.weight(pages, (wide, high), self.grams)


def paper_stock(text: str) -> PaperStock:
    """The paper that a record names."""
    found = _PAPER.fullmatch(text.strip())
    grams = Fraction(found[1].replace(",", ".")) if found else Fraction(0)
    if not found or not LEAST <= grams <= MOST:
        raise Slip(Said("paper.unknown", text=text), Said("paper.write"))
    kind = (found[2] or UNCOATED).lower()
    known = thickness(kind, grams)
    return PaperStock(grams, kind == COATED, known.mm, known.is_listed, bool(found[2]),
                      known.source)  # fmt: skip
