"""Natural dyestuffs: identity, heat, light, hazards.

In: `tables/dyes.toml`, which has more that nothing reads yet: wash. Out:
frozen `Dye` rows, found by Latin or plain name. Sources stand on every row (old dyers' handbooks,
conservation papers, suppliers' pages); a blue wool range that was read nowhere is marked `memory`
or absent: it is only expected, or assumed of the dye's family, and that is said. Words about a dye
are in `language/`.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, lru_cache
from typing import Any

from provenance.reference import naming
from provenance.reference.loader import rows
from provenance.reference.sourced import (
    Note,
    Protection,
    Span,
    cite,
    note,
    protection,
    span,
    span_from,
)

_DRAWN_OUT = re.compile(r"extra[ck]t|extrait", re.IGNORECASE)
_LAKES = frozenset({"krapplack", "farblack", "laque"})
_OF_A_PLACE = frozenset({"from", "by", "at", "near"})


@dataclass(frozen=True, slots=True)
class HeatLimit:
    """The warmest a bath should be in degrees C; no fibres means any."""

    celsius: Decimal
    fibres: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class Dye:
    """One dyestuff.

    `on_wool` is mordant, vat, substantive or tannin; `mordant` is needed, not needed or either;
    `least_share` is the low end of its usual share, % of dry fibre, as it is mostly weighed,
    `least_extract` that of a bought extract, None where it was not read; `light` pairs mordant
    families ("any" for all; "pale" and "cellulose" where these have their own) with blue wool
    ranges; of those in `disagree` the sources lie two classes apart. `light_family` is what it is
    taken for where nothing is known; `fades_early`: most of the change comes early, then slows;
    `acid_alkali` and `crocking`: the colour shifts with acid or alkali, rubs off while new.
    `grave`: even its use deserves a remark; `part` is what of the plant is used.
    """

    name: str
    other_names: tuple[str, ...]
    species: tuple[str, ...]
    on_wool: str
    mordant: str
    heat: HeatLimit | None
    least_share: Decimal | None
    least_extract: Decimal | None
    light: tuple[tuple[str, Span], ...]
    disagree: tuple[str, ...]
    light_family: str
    fades_early: bool
    light_note: Note | None
    acid_alkali: bool
    crocking: bool
    hazard: Note | None
    protected: Protection | None
    grave: bool
    part: str


@cache
def dyes() -> tuple[Dye, ...]:
    """Every dyestuff of the table, in its order."""
    return tuple(_dye(row) for row in rows("dyes"))


@lru_cache(maxsize=4096)
def find_dye(species_or_name: str) -> Dye | None:
    """The dyestuff meant by a Latin or a plain name, None when unknown or unclear.

    A whole species comes first, then a plain name, then a genus that only one row has:
    "Solidago" is goldenrod, "Maclura" (fustic or osage orange) is nothing. Another species of
    the genus counts only where the row says "spp.", as kin may dye quite differently.
    """
    asked = naming.words(species_or_name)
    species, names, genera = _index()
    if asked[:2] in species:
        return species[asked[:2]]
    found = naming.meant(species_or_name, names)
    if found or not asked:
        return found
    is_genus = len(asked) == 1 or asked[1] in {"sp", "spp"}
    return genera.get(asked[0]) if is_genus else species.get((asked[0], "spp"))


def is_extract(*names: str) -> bool:
    """Whether a maker's words mean what was drawn out of a dyestuff, many times as strong."""
    return any(_DRAWN_OUT.search(name) for name in names)


def is_lake(name: str) -> bool:
    """Whether a name means a pigment made of a dye: "madder lake", "lake pigment", "Krapplack"."""
    asked = naming.words(name)
    is_named = asked[-1:] == ("lake",) and not set(asked) & _OF_A_PLACE
    return is_named or {"lake", "pigment"} <= set(asked) or bool(_LAKES & set(asked))


@cache
def _index() -> tuple[dict[naming.Words, Dye], dict[naming.Words, Dye], dict[str, Dye]]:
    species = naming.by_words((latin, dye) for dye in dyes() for latin in dye.species)
    names = naming.by_words((name, dye) for dye in dyes() for name in _names(dye))
    shared: dict[str, set[str]] = {}
    for latin, dye in species.items():
        shared.setdefault(latin[0], set()).add(dye.name)
    genera = {latin[0]: dye for latin, dye in species.items() if len(shared[latin[0]]) == 1}
    return species, names, genera


def _names(dye: Dye) -> tuple[str, ...]:
    return (dye.name, *dye.other_names, *naming.in_german("dye", dye.name))


def _dye(row: Mapping[str, Any]) -> Dye:
    light = row.get("light", {})
    return Dye(
        name=row["name"],
        other_names=tuple(row["other_names"]),
        species=tuple(row["species"]),
        on_wool=row["on_wool"],
        mordant=row["mordant"],
        heat=_heat(row),
        least_share=_least(row, "share", "share_extract"),
        least_extract=_least(row, "share_extract"),
        light=tuple((family, span_from(each, row)) for family, each in light.items()),
        disagree=tuple(family for family, each in light.items() if each.get("disagree")),
        light_family=row.get("light_family", "any"),
        fades_early="fades_early" in row,
        light_note=note(row, "light_note"),
        acid_alkali="acid_alkali" in row,
        crocking="crocking" in row,
        hazard=note(row, "hazard"),
        protected=protection(row),
        grave=row.get("grave", False),
        part=row["part"],
    )


def _least(row: Mapping[str, Any], *shares: str) -> Decimal | None:
    """The low end of the first of these ranges that the row has."""
    found = (span(row, share) for share in shares)
    return next((each.low for each in found if each), None)


def _heat(row: Mapping[str, Any]) -> HeatLimit | None:
    found = row.get("heat")
    if found is None:
        return None
    fibres = tuple(found.get("fibres", ()))
    return HeatLimit(Decimal(found["celsius"]), fibres, cite(found["source"]))
