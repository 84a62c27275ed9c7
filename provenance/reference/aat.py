"""Concepts of the Art & Architecture Thesaurus for our own words.

In: what a word is a word for ("fibre", "dye", "mordant", "work", "stuff", "object", "model") and
the word. Out: the concept's number and label, or None where no concept could be verified. Source
of every row: `tables/aat.toml`.
"""

from dataclasses import dataclass
from functools import cache

from provenance.reference.loader import rows

BASE = "http://vocab.getty.edu/aat/"


@dataclass(frozen=True, slots=True)
class Term:
    """One concept: its number in AAT and its English label."""

    number: str
    label: str

    @property
    def uri(self) -> str:
        """Its address, which is its name."""
        return BASE + self.number


def term(of: str, name: str) -> Term:
    """A concept that must be there; KeyError when it is not."""
    return _terms()[of, name]


def find_term(of: str, name: str) -> Term | None:
    """The concept of a word; None where none is known."""
    return _terms().get((of, name))


@cache
def _terms() -> dict[tuple[str, str], Term]:
    return {(row["of"], row["name"]): Term(row["id"], row["label"]) for row in rows("aat")}
