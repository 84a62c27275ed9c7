"""Several like things in one record: how many, where each stands, and what an edition is called.

In: the words of a piece as they are written. Out: a whole number of things, places with how many
stand at each, an edition; or a `Slip` that says what would be right. An edition is a promise about
the number of works and says nothing of how many one record is about, so that a bare number there
is told to be `makes`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Annotated, Any, Self

from provenance.problems import NOWHERE, Place, Said, Slip
from provenance.records import quantities as q
from provenance.records.fields import Reads, read_name
from provenance.records.text import Fields, Written, written

MOST = 9999  # things in one record; far more than a studio of one makes alike
ONLY_ONE = ("one of a kind", "unique", "unikat", "einzelstück")
# Numbers in words, in the languages that the program speaks.
_IN_WORDS = {
    word: number
    for number, words in {
        1: "one eins", 2: "two zwei pair paar", 3: "three drei", 4: "four vier", 5: "five fünf",
        6: "six sechs", 7: "seven sieben", 8: "eight acht", 9: "nine neun", 10: "ten zehn",
        11: "eleven elf", 12: "twelve zwölf dozen dutzend",
    }.items()
    for word in words.split()
}  # fmt: skip


class Whole(q.Count):
    """A whole number of like things, from 1."""

    kind = "whole"

    @classmethod
    def read(cls, text: str, habits: q.Habits) -> Fraction:
        number = super().read(text, habits)
        if number.denominator != 1 or not 1 <= number <= MOST:
            cls.refuse(text)
        return number


class Places(Written):
    """Several places, as the first of them, and how many stand at each."""

    counts: Mapping[Written, Whole]

    def __new__(
        cls, text: str, place: Place = NOWHERE, counts: Mapping[Written, Whole] | None = None
    ) -> Self:
        self = super().__new__(cls, text, place)
        self.counts = counts or {}
        return self

    def standing(self, left: int, sold: Mapping[str, int]) -> dict[str, int]:
        """How many stand where now: the numbers are those that are left, else those that were
        put there, of which what was sold there is gone."""
        counts = {str(name): int(count) for name, count in self.counts.items()}
        if sum(counts.values()) != left:
            counts = {name: count - sold.get(name, 0) for name, count in counts.items()}
        return {name: count for name, count in counts.items() if count > 0}


def _at(value: Any, habits: q.Habits) -> Written:
    if not isinstance(value, Fields):
        return read_name(written(value))
    if not value:
        raise Slip(Said("record.no_places"), Said("record.write_places"), value.place)
    counts = {}
    for word, count in value.items():
        name = Written.of(word)
        try:
            counts[read_name(name)] = Whole.of(count, habits)
        except Slip as slip:
            raise slip.at(name.place) from None
    first = next(iter(counts))
    return Places(first, first.place, counts)


def _edition(text: Written) -> Written:
    """An edition as it may be said: one of a kind, 3 of 8, open edition, or words of one's own."""
    plain = " ".join(text.casefold().rstrip(".").split())
    words = re.sub(r"^(?:(?:an? |eine? )?(?:set|satz) (?:of|von) |an? |eine? )", "", plain)
    number = _IN_WORDS.get(words) or (int(words) if re.fullmatch(r"[0-9]{1,4}", words) else None)
    if number is not None:
        remedy = "write_edition_one" if number == 1 else "write_makes"
        raise Slip(Said("record.edition", text=text), Said(f"record.{remedy}", number=number))
    if found := re.search(r"(\d+)\s*(?:of|/|von)\s*(\d+)", plain):
        this, whole = int(found[1]), int(found[2])
        if not 1 <= this <= whole:
            raise Slip(
                Said("record.edition_of", text=text), Said("record.write_edition", number=whole)
            )
    return text


_COUNTED = {"type": "object", "additionalProperties": {"type": ["string", "number"]}}
At = Annotated[
    Written,
    Reads(_at, as_text=False, anyOf=[{"type": ["string", "number"]}, _COUNTED]),
]
Edition = Annotated[Written, Reads(_edition, type=["string", "number"])]
