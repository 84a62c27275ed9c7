"""The catalogue as others may read it: its works in order, where each is, shown and reproduced.

In: the view, a show or none, the public facts of the works. Out: `PublicCatalogue`. Owners are
named by consent alone, as in the provenance line; no price, and no place that a work is only lent
to: a book outlives both.

Order and scheme of an entry: icra.art and the guidelines of bildhauermuseen.de (number, title,
date, material and technique, dimensions, signature, whereabouts, shown, reproduced; one scheme for
all, chronological or as hung). A maker's own list is a catalogue of works, not "raisonné"
(icra.art).
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from provenance.public.describe import owner
from provenance.public.names import capital
from provenance.public.piece import PublicPiece
from provenance.public.show import CatalogueWish, PublicShow, where_of
from provenance.public.view import View
from provenance.records.pieces import Piece

ESSAY = "essay"  # the page in pages/ that a catalogue without a show takes for its essay
# Words of the maker that tell of a picture in print, in the languages that the program speaks.
_PRINTED = re.compile(
    r"\b(?:reproduced|illustrated|published|printed in|pictured"
    r"|abgebildet|abbildung|veröffentlicht|erschienen|gedruckt in)\b",
    re.IGNORECASE,
)
# And words that tell that it was seen somewhere.
_SHOWN = re.compile(
    r"\b(?:shown|exhibited|on (?:show|view|display)|displayed|selected for"
    r"|gezeigt|ausgestellt|zu sehen|ausgewählt für)\b",
    re.IGNORECASE,
)
_WHOLE = "whole"


@dataclass(frozen=True, slots=True)
class Entry:
    """One work; `place` is its number in the catalogue. `whereabouts` is '' where nobody knows,
    `signed` where an earlier record is silent;
    `shown`, `reproduced` and what else befell it (`history`) are told one by one, with their
    days."""

    place: int
    piece: PublicPiece
    signed: str
    whereabouts: str
    shown: tuple[str, ...]
    reproduced: tuple[str, ...]
    history: tuple[str, ...] = ()

    @property
    def has_plate(self) -> bool:
        """Whether a photo shows it whole; a work without one is a text entry."""
        return any(photo.view == _WHOLE for photo in self.piece.photos)


@dataclass(frozen=True, slots=True)
class Event:
    """A day of the chronology: `on` as far as it is known (2025, 2025-10, 2025-10-04), the same in
    words, what happened, and the works it is told of, by their numbers in the catalogue."""

    on: str
    day: str
    what: str
    places: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class PublicCatalogue:
    """The book: its title and what stands under it; the show it is made for, or None; the essay in
    Markdown; its entries in order, those with a plate first."""

    title: str
    under: str
    years: str
    show: PublicShow | None
    wish: CatalogueWish
    essay_title: str
    essay_text: str
    entries: tuple[Entry, ...]
    events: tuple[Event, ...]

    @property
    def plates(self) -> tuple[Entry, ...]:
        """Works that are shown."""
        return tuple(entry for entry in self.entries if entry.has_plate)

    @property
    def texts(self) -> tuple[Entry, ...]:
        """Works of which no photo shows the whole."""
        return tuple(entry for entry in self.entries if not entry.has_plate)


def public_catalogue(
    view: View, show: PublicShow | None, pieces: Sequence[PublicPiece]
) -> PublicCatalogue:
    """The catalogue of some works, in the order they are given in."""
    ordered = sorted(pieces, key=lambda each: not any(p.view == _WHOLE for p in each.photos))
    entries = tuple(_entry(view, place, piece) for place, piece in enumerate(ordered, 1))
    wish = (show and show.catalogue) or _NO_WISH
    title, text = _essay(view, show, wish)
    years = _years(view, pieces)
    maker = str(view.book.studio.maker)
    return PublicCatalogue(
        title=show.title if show else view.phrases.say("catalogue.works", maker=maker),
        under=_under(view, show, years),
        years=years, show=show, wish=wish, essay_title=title, essay_text=text,
        entries=entries, events=_events(view, show, entries),
    )  # fmt: skip


_NO_WISH = CatalogueWish("A5", "", "", "", None, None, "", None, "", "stapled")


def _years(view: View, pieces: Sequence[PublicPiece]) -> str:
    known = sorted(each.dated[:4] for each in pieces if each.dated[:4].isdigit())
    if not known or known[0] == known[-1]:
        return known[0] if known else ""
    return view.phrases.say("span.to", first=known[0], last=known[-1])


def _under(view: View, show: PublicShow | None, years: str) -> str:
    """Where and when, for a show; else the years of the works."""
    if show is None:
        return years
    return ", ".join(part for part in (show.where, show.days) if part)


def _essay(view: View, show: PublicShow | None, wish: CatalogueWish) -> tuple[str, str]:
    """The essay that is asked for; else the words of the show, or the page that is called so."""
    if wish.essay_text:
        return wish.essay_title, wish.essay_text
    if show:
        return (show.words_title, show.words) if show.words else ("", "")
    page = view.book.pages.get(ESSAY)
    return (page.title, page.text) if page else ("", "")


def _entry(view: View, place: int, piece: PublicPiece) -> Entry:
    record = view.studio.piece(piece.number).record
    told = [(str(each.on), str(each.event)) for each in record.history if each.public]
    printed = [each for each in told if _PRINTED.search(each[1])]
    rest = [each for each in told if each not in printed]
    shown = [each for each in rest if _SHOWN.search(each[1])]
    hung = [*shown, *_shows(view, piece.number)]
    return Entry(
        place,
        piece,
        piece.signed if record.signed or not record.earlier else "",
        _whereabouts(view, record),
        tuple(_dated(view, *each) for each in sorted(hung)),
        tuple(_dated(view, *each) for each in sorted(printed)),
        tuple(_dated(view, *each) for each in sorted(rest) if each not in shown),
    )


def _shows(view: View, number: str) -> Iterator[tuple[str, str]]:
    """Shows on record that a work hung in, or hangs in: past ones, and those that have begun."""
    for show in view.book.shows.values():
        if view.studio.is_at_home(show):
            continue
        began = show.dates.first if show.dates else None
        if began and began <= view.studio.today and number in map(str, show.hung):
            yield began.isoformat(), _titled(str(show.title), where_of(view, show))


def _titled(title: str, place: str) -> str:
    return f"{title}, {place}" if place else title


def _dated(view: View, on: str, what: str) -> str:
    return f"{capital(what.rstrip('.'))}, {view.phrases.part_day(on)}"


def _whereabouts(view: View, piece: Piece) -> str:
    """With its owner, who is named by consent alone; else with the maker."""
    say = view.phrases.say
    if piece.earlier and piece.status is None and not piece.sold:
        return ""  # nobody wrote down what became of it
    if piece.made > 1:
        return say("catalogue.in_several") if not piece.left else ""
    if piece.sold:
        return capital(owner(view, piece.sold[-1]))
    if piece.state in ("sold", "commission"):
        return say("catalogue.in_private")
    return "" if piece.state == "withdrawn" else say("catalogue.with_maker")


def _events(view: View, show: PublicShow | None, entries: Sequence[Entry]) -> tuple[Event, ...]:
    """Each work's making and what is told of it in public, and the shows; what befell several on
    one day is told once."""
    found: dict[tuple[str, str], list[int]] = {}
    for entry in entries:
        record = view.studio.piece(entry.piece.number).record
        made = view.phrases.say("catalogue.made", title=entry.piece.title)
        told = [(str(each.on), capital(str(each.event).rstrip(".")))
                for each in record.history if each.public]  # fmt: skip
        known = [(entry.piece.dated, made)] if entry.piece.dated else []
        for on, what in (*known, *told, *_shows(view, entry.piece.number)):
            found.setdefault((on, what), []).append(entry.place)
    if show and show.first:
        what = _titled(show.title, show.where)
        found[show.first.isoformat(), what] = [entry.place for entry in entries]
    return tuple(
        Event(on, view.phrases.part_day(on), what, tuple(dict.fromkeys(places)))
        for (on, what), places in sorted(found.items())
    )
