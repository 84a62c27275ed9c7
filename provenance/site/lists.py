"""The lists of work: all of it, by kind, by colour, by dye, and what is for sale; plain links.

In: the pieces shown and the dyes. Out: `Listing`s, the whole first, and those of them that are
worth a choice. Colour families are computed from the yarns (CIELAB), and a family counts when it
makes up a tenth of a piece.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from provenance.language.phrases import Phrases
from provenance.site.places import DyeView, slug
from provenance.site.shown import ShownPiece

GROUPS = ("sale", "kind", "colour", "dye")
COLOUR_ORDER = (
    "red", "pink", "orange", "brown", "yellow", "green", "blue", "purple", "grey", "white", "black",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Listing:
    """One list: its group ('', kind, colour, dye, sale), name, address and pieces."""

    group: str
    name: str
    path: str
    pieces: tuple[ShownPiece, ...]


def listings(
    phrases: Phrases, pieces: Sequence[ShownPiece], dyes: Sequence[DyeView]
) -> tuple[Listing, ...]:
    """All lists that hold anything; the whole list always."""
    say = phrases.say
    whole = Listing("", say("page.all_work"), "work/", tuple(pieces))
    sale = [piece for piece in pieces if piece.is_for_sale]
    found = [_listing("sale", say("page.for_sale"), "for-sale", sale)]
    for kind in dict.fromkeys(piece.card.kind for piece in pieces):
        these = [piece for piece in pieces if piece.card.kind == kind]
        found.append(_listing("kind", say(f"kinds.{kind}"), slug(kind), these))
    for colour in COLOUR_ORDER:
        these = [piece for piece in pieces if colour in piece.card.families]
        found.append(_listing("colour", say(f"colour.{colour}"), f"in-{colour}", these))
    for dye in dyes:
        these = [piece for piece in pieces if dye.of.name in piece.card.dye_names]
        found.append(_listing("dye", dye.of.title, f"with-{slug(dye.of.name)}", these))
    return (whole, *(listing for listing in found if listing.pieces))


def choices(lists: Sequence[Listing]) -> dict[str, list[Listing]]:
    """The lists that part the whole, by group: none that holds all of it."""
    whole = len(lists[0].pieces)
    parts = [each for each in lists[1:] if len(each.pieces) < whole]
    return {group: [each for each in parts if each.group == group] for group in GROUPS}


def _listing(group: str, name: str, path: str, pieces: Sequence[ShownPiece]) -> Listing:
    return Listing(group, name, f"work/{path}/", tuple(pieces))
