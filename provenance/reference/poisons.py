"""Plants that poison and are no dyestuffs, and one place to ask what is known of any stuff.

In: `tables/poisons.toml`, and the tables of dyes and mordants. Out: frozen `Poison` rows, found by
Latin or plain name, and `Known`: all that the tables know by one name. Words are in `language/`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

from provenance.problems import Said
from provenance.reference import naming
from provenance.reference.dyes import Dye, find_dye
from provenance.reference.loader import rows
from provenance.reference.mordants import Mordant, find_mordant
from provenance.reference.sourced import Note, source_of


@dataclass(frozen=True, slots=True)
class Poison:
    """A plant with its names; `hazard` says what it does."""

    name: str
    other_names: tuple[str, ...]
    species: tuple[str, ...]
    hazard: Note


@cache
def poisons() -> tuple[Poison, ...]:
    """Every plant of the table, in its order."""
    return tuple(_poison(row) for row in rows("poisons"))


@lru_cache(maxsize=4096)
def find_poison(species_or_name: str) -> Poison | None:
    """The poisonous plant meant; a species counts by its genus where the row says "spp."."""
    asked = naming.words(species_or_name)
    latin, names = _index()
    kin = latin.get((*asked[:1], "spp"))
    return latin.get(asked[:2]) or kin or naming.meant(species_or_name, names)


def find_stuff(name: str) -> Dye | Mordant | Poison | None:
    """What the tables know by a name; "poison sumac" is no sumac, "dyer's broom" no broom."""
    found = find_poison(name)
    return found or find_dye(name) or find_mordant(name)


@cache
def _index() -> tuple[dict[naming.Words, Poison], dict[naming.Words, Poison]]:
    latin = naming.by_words((each, row) for row in poisons() for each in row.species)
    called = ((row, naming.in_german("poison", row.name)) for row in poisons())
    names = naming.by_words(
        (n, row) for row, german in called for n in (row.name, *row.other_names, *german)
    )
    return latin, names


def _poison(row: Mapping[str, Any]) -> Poison:
    hazard = Note(Said(f"poison.{row['name']}"), *source_of(row, row))
    return Poison(row["name"], tuple(row["other_names"]), tuple(row["species"]), hazard)
