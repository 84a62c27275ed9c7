"""A new record, begun at the desk.

In: what is begun, what it is like, its title. Out: the file, written as `start` writes it, and what
runs short. Like an old piece: its kind, structure, sett and the maker's own notes come along as
they were written; size, weight, yarns with their lots, hours and price stand there as notes to be
opened, as they were the other cloth's; number and title are new; sale, photos, history, story and
place stay behind (`records.new_records`). Which of those lots no longer has so much is told.
"""

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

from provenance.build import starting
from provenance.build.starting import Started, refuse_without_records, write_started
from provenance.figures.flow.flow import Key
from provenance.problems import Said, WrongWish
from provenance.records.pieces import KINDS
from provenance.reports.measured import measured
from provenance.studio import Studio

WHAT = ("piece", "bath", "commission", "show")


def started(studio: Studio, what: str, like: str, title: str, kind: str = "") -> Started:
    """The record that is begun, not yet written. Raises Slip for a number nobody knows."""
    if what not in WHAT or (like and what not in ("piece", "commission")):
        raise WrongWish(Said("desk_hands.begin_what", what=what), Said("desk_hands.begin_such"))
    if kind and kind not in KINDS:
        raise WrongWish(Said("desk_hands.begin_what", what=kind), Said("desk_hands.begin_such"))
    if what == "piece":
        return starting.start_piece(studio, like or None, title, kind or None)
    if what == "commission":
        return starting.start_commission(studio, like or None)
    return (starting.start_bath if what == "bath" else starting.start_show)(studio, title)


def write_begun(folder: Path, new: Started) -> None:
    """Write it; never over what is there."""
    refuse_without_records(folder)
    write_started(folder, new)


def short_of(studio: Studio, like: str) -> Iterator[Said]:
    """The lots of a piece of which less is left than that piece took."""
    flow, took = studio.flow, dict[str, Key]()
    piece = studio.piece(like).record
    for yarn in piece.yarns:
        name = str(yarn.lot or yarn.fleece or "")
        kinds = ("dyed", "yarn", "fleece")
        found = next((key for kind in kinds if (key := Key(kind, name)) in flow.nodes), None)
        if found:
            took[name] = found
    for name, key in took.items():
        weights = (yarn.weight for yarn in piece.yarns if name in (yarn.lot, yarn.fleece))
        wanted, left = sum(weights, Fraction()), flow.left(key)
        if flow.nodes[key].holds is not None and left < wanted:
            here, whole = (measured(studio.book, key, each, "g")
                           for each in (max(left, Fraction()), wanted))  # fmt: skip
            yield Said("desk_hands.short", lot=name, left=here, wanted=whole)
