"""Where a piece has been, as a dated list: made, shown, sold, and where it hangs now.

In: the view and a worked-out piece. Out: days in words, each with what happened. Of a sale the year
alone is told, and its owner by consent alone, as in the provenance line (`public.describe`). An
exhibition is told by its days, so that a page that is read later is still true.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from provenance.language.phrases import Phrases
from provenance.public.describe import availability, owner, through
from provenance.public.names import capital
from provenance.public.show import State, state_on, where_of
from provenance.public.view import View
from provenance.records.pieces import Piece
from provenance.records.shows import Show
from provenance.studio import Worked


@dataclass(frozen=True, slots=True)
class Told:
    """A day in words and what happened then; `path` is the address of the exhibition that it tells
    of, '' where of none, `rest` what is told after the words that name it."""

    day: str
    what: str
    path: str = ""
    rest: str = ""


@dataclass(frozen=True, slots=True)
class Exhibited:
    """A show that a piece hangs in: where it stands today, its first day, its days in words, and
    the words for it, with its last day in those for the time while it is on; the address of its
    page, as two shows may be told in the same words."""

    state: State
    first: str
    days: str
    told: str
    until: str
    path: str

    def at(self, day: str, told: str) -> Told:
        """It at a day, in words that begin with those for it."""
        return Told(day, self.told, self.path, told.removeprefix(self.told))


def been(view: View, worked: Worked) -> tuple[Told, ...]:
    """Each day or year with what happened then, the making first, where it hangs now last."""
    piece, phrases = worked.record, view.phrases
    events = [(str(each.on), str(each.on), str(each.event))
              for each in piece.history if each.public]  # fmt: skip
    made = str(piece.finish or piece.year)
    shown = exhibited(view, str(piece.number))
    hung = [(each.first, each.at(each.days, each.told)) for each in shown if each.state != "before"]
    told = [
        (day, Told(phrases.part_day(told), what))
        for day, told, what in (*events, *_sold(view, piece))
    ]
    past = sorted((*told, *hung), key=lambda each: (each[0], each[1].day, each[1].what))
    return (
        Told(phrases.part_day(made), _made(view)),
        *(each for _, each in past),
        *_now(view, worked, [each for each in shown if each.state == "during"]),
        *(each.at(each.days, each.told) for each in shown if each.state == "before"),
    )


def exhibited(view: View, number: str) -> tuple[Exhibited, ...]:
    """The shows with days that a piece hangs in, the earliest first."""
    shows = (s for s in view.book.shown_in.get(number, ()) if not view.studio.is_at_home(s))
    found = (_exhibited(view, show) for show in shows)
    return tuple(sorted(filter(None, found), key=lambda each: (each.first, each.told)))


def _exhibited(view: View, show: Show) -> Exhibited | None:
    """None for a show whose days are not settled."""
    if show.dates is None:
        return None
    phrases, first, last = view.phrases, show.dates.first, show.dates.last
    named = exhibition(phrases, str(show.title), where_of(view, show))
    until = phrases.say("on_view.in_until", exhibition=named, day=phrases.day(last))
    state = state_on(first, last, view.studio.today)
    days, path = phrases.days(first, last), show.path
    return Exhibited(state, str(first), days, named, until, path)


def exhibition(phrases: Phrases, title: str, place: str) -> str:
    """A show as it is told in a piece's list: In the exhibition ..., with its place."""
    named = phrases.say("on_view.in", title=title)
    return f"{named}, {place}" if place else named


def _made(view: View) -> str:
    studio = view.book.studio
    by = ", ".join(str(part) for part in (studio.maker, studio.place) if part)
    return view.phrases.say("been.made", by=by)


def _sold(view: View, piece: Piece) -> Iterator[tuple[str, str, str]]:
    """The last sale: its day, to put it in order, what is told of that, and where it went; of a
    set nobody can tell which one went where."""
    if piece.sold and piece.made == 1:
        sale = piece.sold[-1]
        parts = (through(view, piece, sale), owner(view, sale))
        yield str(sale.on), str(sale.on.year), capital("; ".join(part for part in parts if part))


def _now(view: View, worked: Worked, hangs: list[Exhibited]) -> Iterator[Told]:
    """The exhibition it hangs in, else the place that others may know of, where it is at one."""
    if hangs:
        yield from (each.at(view.phrases.say("been.now"), each.until) for each in hangs)
        return
    said, phrases = availability(view, worked), view.phrases
    if worked.record.state == "available" and said != phrases.say("state.available"):
        yield Told(phrases.say("been.now"), said)
