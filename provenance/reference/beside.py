"""Things everybody knows the size of, to see a work's size by: a door, a sofa, a person, a card.

In: `tables/beside.toml`. Out: frozen rows in centimetres, each with its source. Their words are in
`language/`, under `scale`.
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from provenance.reference.loader import rows


@dataclass(frozen=True, slots=True)
class Beside:
    """Width and height in cm, as it stands, or as it lies seen from above."""

    name: str
    width: Fraction
    height: Fraction
    source: str
    sure: str


@cache
def beside(name: str, language: str = "") -> Beside:
    """The row of a language, else the one for all; KeyError for a thing the table has not."""
    found = {row["language"]: row for row in rows("beside") if row["name"] == name}
    row = found.get(language) or found[""]
    width, height = Fraction(row["width"]), Fraction(row["height"])
    return Beside(name, width, height, row["source"], row["sure"])
