"""Where a piece has been, as a dated list: made, shown, sold, and where it hangs now.

In: the view and a worked-out piece. Out: days in words, each with what happened. Of a sale the year
alone is told, and its owner by consent alone, as in the provenance line (`public.describe`).
"""

from collections.abc import Iterator

from provenance.public.describe import availability, owner, through
from provenance.public.names import capital
from provenance.public.view import View
from provenance.records.pieces import Piece
from provenance.studio import Worked

Told = tuple[str, str]


def been(view: View, worked: Worked) -> tuple[Told, ...]:
    """Each day or year with what happened then, the making first, where it hangs now last."""
    piece, phrases = worked.record, view.phrases
    events = [(str(each.on), str(each.event)) for each in piece.history if each.public]
    later = sorted((*events, *_sold(view, piece)), key=lambda event: event[0])
    days = [(str(piece.finish or piece.year), _made(view)), *later]
    return (*((phrases.part_day(day), what) for day, what in days), *_now(view, worked))


def _made(view: View) -> str:
    studio = view.book.studio
    by = ", ".join(str(part) for part in (studio.maker, studio.place) if part)
    return view.phrases.say("been.made", by=by)


def _sold(view: View, piece: Piece) -> Iterator[Told]:
    """The last sale; of a set nobody can tell which one went where."""
    if piece.sold and piece.made == 1:
        sale = piece.sold[-1]
        parts = (through(view, piece, sale), owner(view, sale))
        yield str(sale.on.year), capital("; ".join(part for part in parts if part))


def _now(view: View, worked: Worked) -> Iterator[Told]:
    """The place that others may know of, where it hangs at one."""
    said, phrases = availability(view, worked), view.phrases
    if worked.record.state == "available" and said != phrases.say("state.available"):
        yield phrases.say("been.now"), said
