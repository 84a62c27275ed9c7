"""A page for each exhibition, the same before it, while it is on and long after.

In: public facts of shows, the pieces of the lists. Out: what their pages are filled with, and
schema.org's ExhibitionEvent (version 30 of its terms). Nothing on them is told by the day alone
on which the site was made: days are told as days.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import Any

from provenance.press.drawings.scale import Drawing, Hanging, wall_drawing
from provenance.press.drawings.scale.compared import length
from provenance.press.markup import shortened, to_html, to_plain
from provenance.public.show import PublicShow, PublicWall, State
from provenance.public.studio import PublicStudio
from provenance.reference.beside import beside
from provenance.site.places import WithAddress, own_address
from provenance.site.shown import ShownPiece
from provenance.site.structured import CONTEXT, Node, addressed, escaped, the_studio

_SCHEMA = "https://schema.org"
_ABOVE, _BETWEEN = 30, 60  # cm above the highest work; between walls in a row


@dataclass(frozen=True)
class ShowView(WithAddress[PublicShow]):
    """A show, its pieces that have a place in the lists, as they hang, and how it stands."""

    state: State

    @cached_property
    def stamp(self) -> tuple[Any, ...]:
        """All that is shown of it comes from."""
        return self.of, self.state, tuple(piece.stamp for piece in self.pieces)

    @property
    def line(self) -> tuple[str, ...]:
        """All that a line about it comes from: its address, title, place and days."""
        return self.of.path, self.of.title, self.of.where, self.of.days, self.state

    @property
    def is_past(self) -> bool:
        """Whether it is over."""
        return self.state == "past"

    @property
    def lead(self) -> ShownPiece | None:
        """The first work that has a picture: its is passed on with the page."""
        return next((piece for piece in self.pieces if piece.lead), None)

    @property
    def announced(self) -> date | None:
        """The day its news is dated by, from the records alone: the day the newest of its works was
        finished, its first day at the latest."""
        if self.of.first is None:
            return None
        made = [piece.card.by for piece in self.pieces if piece.card.by]
        return min(max(made), self.of.first) if made else self.of.first

    @property
    def changed(self) -> date | None:
        """The day of the last news of it: its first day, once that has come."""
        return self.announced if self.state == "before" else self.of.first

    def when(self, studio: PublicStudio) -> str:
        """Its days in a sentence that stays true."""
        show, say, day = self.of, studio.phrases.say, studio.phrases.day
        if show.first is None or show.last is None:
            return say("on_view.undated")
        if self.state == "during" and show.first != show.last:
            return say("on_view.during", first=day(show.first), last=day(show.last))
        words = "past" if self.is_past else "before"
        return say(f"on_view.{words}", days=show.days)


def show_views(
    shows: Sequence[PublicShow], listed: Sequence[ShownPiece], today: date
) -> tuple[ShowView, ...]:
    """Every show: what is on and to come by its first day, then the past ones, the latest first."""
    known = {piece.card.number: piece for piece in listed}
    views = [
        ShowView(show, tuple(known[n] for n in show.numbers if n in known), show.state(today))
        for show in shows
    ]
    ahead = [view for view in views if not view.is_past]
    return (*ahead, *(view for view in reversed(views) if view.is_past))


def of_show(studio: PublicStudio, view: ShowView, cover: ShownPiece | None) -> Mapping[str, Any]:
    """What the page of a show is filled with."""
    show = view.of
    walls = list(_walls(studio, view))
    widths = [wall.drawing.width for wall in walls]
    return {
        "view": view, "show": show, "when": view.when(studio),
        "body": to_html(show.words) if show.words else "",
        "walls": walls, "widest": max(widths, default=1.0),
        "side_by_side": sum(widths) + _BETWEEN * (len(walls) - 1),
        "person": _person(studio), "cover": view.lead or cover,
        "description": description(studio, view),
        "structured": show_structured(studio, view),
    }  # fmt: skip


def description(studio: PublicStudio, view: ShowView) -> str:
    """A show in a line or two."""
    start = ". ".join(filter(None, (view.of.title, view.of.where, view.when(studio))))
    words = to_plain(view.of.words) if view.of.words else ""
    return shortened(f"{start}. {words}") if words else f"{start}."


@dataclass(frozen=True, slots=True)
class DrawnWall:
    """A wall to scale, its name and its width in words."""

    words: str
    drawing: Drawing


def _walls(studio: PublicStudio, view: ShowView) -> Iterator[DrawnWall]:
    """The walls that a work of the lists hangs on, a person before the first; none where works hang
    over each other. A wall whose height nobody measured ends above the works of all."""
    known = {piece.card.number: piece for piece in view.pieces}
    tops = [work.top for wall in view.of.walls for work in wall.works]
    high = max([*tops, beside("figure").height]) + _ABOVE
    is_first = True
    for wall in view.of.walls:
        hangs = [
            Hanging(work.height, work.width, known[work.number].card.stripes,
                    left=work.left, foot=work.bottom)
            for work in wall.works if work.number in known
        ]  # fmt: skip
        if hangs and all(gap >= 0 for gap in wall.gaps):
            told = _told(studio, wall, known)
            height = wall.height or high
            drawn = wall_drawing(wall.width, height, hangs, told, beside_person=is_first)
            yield DrawnWall(_wall_words(studio, wall), drawn)
            is_first = False


def _wall_words(studio: PublicStudio, wall: PublicWall) -> str:
    width = length(wall.width, studio.phrases)
    return studio.phrases.say("on_view.wall", wall=wall.title, width=width)


def _told(studio: PublicStudio, wall: PublicWall, known: Mapping[str, ShownPiece]) -> str:
    """The drawing for those who can't see it."""
    cards = [known[work.number].card for work in wall.works if work.number in known]
    works = studio.phrases.listed([f"{card.title} ({card.number})" for card in cards])
    told = {"wall": wall.title, "width": length(wall.width, studio.phrases)}
    return studio.phrases.say("on_view.wall_alt", **told, person=_person(studio), works=works)


def _person(studio: PublicStudio) -> str:
    """Whoever stands beside the works, with the height."""
    phrases = studio.phrases
    thing = beside("figure", phrases.language)
    sides = {"width": thing.width, "height": thing.height}
    return phrases.say("scale.figure", **{n: length(side, phrases) for n, side in sides.items()})


def show_structured(studio: PublicStudio, view: ShowView) -> str:
    """JSON-LD of a show with days: an ExhibitionEvent, with its opening inside it; '' without."""
    show = view.of
    if show.first is None or show.last is None:
        return ""
    lead = view.lead.lead if view.lead else None
    said: Node = {
        "@context": CONTEXT,
        **_event("ExhibitionEvent", show, show.first.isoformat()),
        **addressed(studio, show.path),
        "name": show.title,
        "description": to_plain(show.words) if show.words else "",
        "endDate": show.last.isoformat(),
        "organizer": the_studio(studio),
        "image": f"{studio.site}/{lead.largest.path}" if lead and studio.site else "",
        "inLanguage": studio.phrases.language,
        "workFeatured": [_work(studio, piece) for piece in view.pieces],
        "subEvent": _opening(studio, show),
    }
    return escaped({word: value for word, value in said.items() if value})


def _event(kind: str, show: PublicShow, start: str) -> Node:
    """What every event says. A record knows of no show that was called off: it is as scheduled,
    which is also what schema.org takes it for where nothing is said, past ones included."""
    return {
        "@type": kind,
        "startDate": start,
        "eventStatus": f"{_SCHEMA}/EventScheduled",
        "eventAttendanceMode": f"{_SCHEMA}/OfflineEventAttendanceMode",
        "location": _location(show),
    }


def _location(show: PublicShow) -> Node | str:
    """Its house; the address is the street where that is public, else the place."""
    name, address = show.outlet_title or show.place, show.street or show.place
    place = {"@type": "Place", "name": name, "address": address, "url": own_address(show.web)}
    return {word: value for word, value in place.items() if value} if name else ""


def _opening(studio: PublicStudio, show: PublicShow) -> Node | str:
    """The evening it opens, where the hour is known."""
    if show.opening_at is None:
        return ""
    name = f"{show.title}: {studio.phrases.say('on_view.opening')}"
    event = {**_event("Event", show, show.opening_at.isoformat("T", "minutes")), "name": name}
    return {word: value for word, value in event.items() if value}


def _work(studio: PublicStudio, piece: ShownPiece) -> Node:
    named = {"name": piece.card.title, "identifier": piece.card.number}
    return {"@type": "VisualArtwork", **addressed(studio, piece.path), **named}
