"""The paper a book is printed on: how thick, how heavy, what follows for the book.

In: a paper as the maker writes it: `115 g`, `150 g silk`, `90 gsm uncoated`. Out: `PaperStock`,
lengths in mm, exact; Slip for what is none. Pages and bleed are read by
`records.bookmaking`. A paper that isn't called coated counts as uncoated,
which is thicker: margins are then rather too wide than too narrow.
"""

from dataclasses import dataclass
from fractions import Fraction

from provenance.figures import binding
from provenance.records.bookmaking import bleed_of, page_of, paper_of
from provenance.reference.paper import COATED, UNCOATED, thickness

__all__ = ["PaperStock", "bleed_of", "page_of", "paper_stock"]


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
    asked = paper_of(text)
    known = thickness(COATED if asked.is_coated else UNCOATED, asked.grams)
    return PaperStock(asked.grams, asked.is_coated, known.mm, known.is_listed, asked.is_said,
                      known.source)  # fmt: skip
