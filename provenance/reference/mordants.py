"""Mordants, assistants, modifiers and vat helps: usual range, effect, hazard, disposal.

In: `tables/mordants.toml`. Out: frozen `Mordant` rows found by any of their names, and the
cautions that go with every dye day. Words about a row are in `language/`, under its name; hazards
are short and defer to the supplier's safety sheet.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from provenance.reference import naming
from provenance.reference.loader import rows, table
from provenance.reference.sourced import Note, Span, note, notes, span


@dataclass(frozen=True, slots=True)
class Mordant:
    """One bath help; `usual` is % of dry fibre.

    `kind` is mordant, assistant, modifier or vat help; `family` (alum, tin, iron, copper, chrome or
    none) rules light ratings. `beyond`: more than usual does harm. `grave`: even its use deserves a
    remark.
    """

    name: str
    other_names: tuple[str, ...]
    kind: str
    family: str
    usual: Span | None
    beyond: bool
    hazard: Note | None
    disposal: Note | None
    grave: bool


@cache
def mordants() -> tuple[Mordant, ...]:
    """Every row of the table, in its order."""
    return tuple(_mordant(row) for row in rows("mordants"))


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


@cache
def general_cautions() -> tuple[Note, ...]:
    """What goes with every dye day: powders, pots, heat, waste, moth oils."""
    return notes("caution", table("mordants")["general"])


@cache
def _names() -> dict[naming.Words, Mordant]:
    named = ((name, row) for row in mordants() for name in (row.name, *row.other_names))
    return naming.by_words(named)


def _mordant(row: Mapping[str, Any]) -> Mordant:
    return Mordant(
        name=row["name"],
        other_names=tuple(row["other_names"]),
        kind=row["kind"],
        family=row["family"],
        usual=span(row, "usual"),
        beyond=row.get("beyond", False),
        hazard=note(row, "hazard"),
        disposal=note(row, "disposal"),
        grave=row.get("grave", False),
    )
