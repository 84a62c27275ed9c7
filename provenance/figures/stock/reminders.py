"""What to order again: lots of which less is left than the studio file wants kept.

In: the book (its `remind`), the flow of a day. Out: a `Low` for each, in the order of the file. A
lot that was never weighed can't be reckoned: it is told as such.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.flow.flow import Flow
from provenance.records.book import Book

SHELVES = ("fleece", "dyestuff", "mordant", "sundry", "yarn", "dyed")


@dataclass(frozen=True, slots=True)
class Low:
    """A lot that runs low: `left` is None where nobody weighed what came; `least` is wanted."""

    name: str
    left: Fraction | None
    least: Fraction
    unit: str


def low_lots(book: Book, flow: Flow) -> Iterator[Low]:
    """Every lot below what the studio file wants kept."""
    for name, least in book.studio.remind.items():
        keys = [key for key in flow.nodes if key.name == name and key.kind in SHELVES]
        is_weighed = all(flow.nodes[key].holds is not None for key in keys)
        left = sum((flow.left(key) for key in keys), Fraction(0)) if is_weighed else None
        if left is None or left < least:
            yield Low(str(name), left, Fraction(least), least.unit)
