"""The yarns at the edge of a page of the desk.

In: the desk, a record. Out: stripes: those of its pieces, else of the newest ones.
"""

from contextlib import suppress

from provenance.desk.desk import Desk
from provenance.desk.records import place_of
from provenance.desk.told import numbers_of
from provenance.problems import Slip
from provenance.public.edge import Stripe, stripes_of

_MOST = 6  # pieces


def edge(desk: Desk, name: str = "") -> tuple[Stripe, ...]:
    """The yarns at the edge of a page: those of the record's pieces, else of the newest ones."""
    try:
        seen = desk.seen
    except Slip:
        return ()

    def found() -> tuple[Stripe, ...]:
        pieces = seen.studio.book.pieces
        own = numbers_of(seen, place_of(desk.folder, name)) if name else []
        newest = sorted(pieces, key=lambda each: str(pieces[each].finished or ""))[-_MOST:]
        stripes: list[Stripe] = []
        for number in own[:_MOST] or newest[::-1]:
            with suppress(Slip):
                stripes += seen.facts.card(seen.border, number).stripes
        return tuple(stripes_of((each.colour, each.share) for each in stripes))

    return seen.once(f"edge {name}", lambda: desk.memory.work(found))
