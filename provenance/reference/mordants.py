"""Mordants, assistants, modifiers and vat helps: usual range, effect, hazard, disposal.

In: `tables/mordants.toml`. Out: frozen `Mordant` rows found by any of their names, and the
cautions that go with every dye day. Words about a row are in `language/`, under its name; hazards
are short and defer to the supplier's safety sheet.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

from provenance.reference import naming
from provenance.reference.loader import rows, table
from provenance.reference.sourced import (
    Note,
    Protection,
    Span,
    note,
    notes,
    protection,
    span,
)


@dataclass(frozen=True, slots=True)
class Unfit:
    """Ways of dyeing (wool, silk, cellulose) a bath help harms; a vat may be let off."""

    fibres: tuple[str, ...]
    note: Note
    but_vats: bool


@dataclass(frozen=True, slots=True)
class Mordant:
    """One bath help; `usual` is % of dry fibre, by way of dyeing, "" for those without their own.

    `kind` is mordant, assistant, modifier or vat help; `family` (alum, tin, iron, copper, chrome or
    none) rules light ratings. `beyond`: more than usual does harm. `grave`: even its use deserves a
    remark. `after_tannin`: on cellulose it wants a tannin, or soda ash.
    """

    name: str
    other_names: tuple[str, ...]
    kind: str
    family: str
    usual: tuple[tuple[str, Span], ...]
    beyond: bool
    unfit: Unfit | None
    after_tannin: Note | None
    hazard: Note | None
    disposal: Note | None
    grave: bool
    protected: Protection | None

    def usual_on(self, fibre: str) -> Span | None:
        """What is usual on wool, silk or cellulose; None where nothing is known."""
        found = dict(self.usual)
        return found.get(fibre, found.get(""))


@cache
def mordants() -> tuple[Mordant, ...]:
    """Every row of the table, in its order."""
    return tuple(_mordant(row) for row in rows("mordants"))


@lru_cache(maxsize=4096)
def find_mordant(name: str) -> Mordant | None:
    """The row meant by a name: "potash alum" is alum, "copperas" iron, "bluestone" copper."""
    return naming.meant(name, _names())


def family_of(name: str) -> str:
    """The mordant family of a name, "none" for assistants and for what is not known."""
    found = find_mordant(name)
    return found.family if found else "none"


def holds_dye(name: str) -> bool:
    """Whether a bath help ties dye to fibre: a mordant, or a metal salt used afterwards."""
    found = find_mordant(name)
    return found is not None and (found.kind == "mordant" or found.family != "none")


def known_on() -> str:
    """The month in which the hazards of dyestuffs and bath helps were last looked up."""
    return str(table("mordants")["looked_up"][0]["on"])


@cache
def general_cautions() -> tuple[Note, ...]:
    """What goes with every dye day: powders, pots, heat, waste, moth oils."""
    return notes("caution", table("mordants")["general"])


@cache
def _names() -> dict[naming.Words, Mordant]:
    called = ((row, naming.in_german("mordant", row.name)) for row in mordants())
    return naming.by_words(
        (name, row) for row, german in called for name in (row.name, *row.other_names, *german)
    )


def _mordant(row: Mapping[str, Any]) -> Mordant:
    return Mordant(
        name=row["name"],
        other_names=tuple(row["other_names"]),
        kind=row["kind"],
        family=row["family"],
        usual=tuple(_usual(row)),
        beyond=row.get("beyond", False),
        unfit=_unfit(row),
        after_tannin=note(row, "after_tannin"),
        hazard=note(row, "hazard"),
        disposal=note(row, "disposal"),
        grave=row.get("grave", False),
        protected=protection(row),
    )


def _usual(row: Mapping[str, Any]) -> Iterator[tuple[str, Span]]:
    for fibre, key in (("", "usual"), ("silk", "usual_silk"), ("cellulose", "usual_cellulose")):
        if found := span(row, key):
            yield fibre, found


def _unfit(row: Mapping[str, Any]) -> Unfit | None:
    found, said = row.get("unfit"), note(row, "unfit")
    if not found or not said:
        return None
    return Unfit(tuple(found["fibres"]), said, found.get("vat", False))
