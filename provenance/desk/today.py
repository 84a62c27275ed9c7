"""Today's list: what a maker must do, with the record each thing is about.

In: the border, the phrases. Out: groups of things as plain dicts. Mistakes and remarks stand first,
each at its place; then all that `build.waiting` finds; then what shows at the desk alone: prices
that nobody wrote, work still noted at a fair that is over, shows that come, money that is owed.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from provenance.build.waiting import SOON, waiting
from provenance.deeds.moving import STUDIO
from provenance.desk.links import href
from provenance.figures.money.year import deposits, owed
from provenance.language.phrases import Phrases
from provenance.problems import NOWHERE, Place, Said, Slip
from provenance.public.border import Border
from provenance.public.names import outlet_title, studio_title
from provenance.publish.remembered import reminder_shown
from provenance.records.lots import Outlet
from provenance.records.pieces import FOR_SALE
from provenance.reports.check import told_once
from provenance.studio import Studio

GROUPS = ("mend", "sell", "pieces", "papers", "shelf", "dates", "keep")
_HOMES = {
    "own_words": "mend", "first_yarn": "shelf", "first_piece": "pieces", "reserved": "sell",
    "tags": "papers", "certificates": "papers", "asked": "sell", "lapses": "sell",
    "lapsed": "sell", "fair": "dates", "draft": "pieces", "on_the_loom": "pieces",
    "left": "shelf", "to_order": "shelf",
}  # fmt: skip
_FAIRS = ("fair", "show")


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing to do; `deed` has the words that do it."""

    group: str
    what: Said
    place: Place = NOWHERE
    command: str = ""
    deed: tuple[str, ...] = ()


def today(border: Border, phrases: Phrases, *, with_tags: bool = True) -> dict[str, Any]:
    """The list. Without tags it says that these are still being worked out."""
    studio = border.studio
    things = [*_waiting(border, with_tags=with_tags),
              *(each for find in _FINDS for each in find(studio))]  # fmt: skip
    if not with_tags:
        things.append(Thing("papers", Said("desk_hands.tags_soon")))
    groups: dict[str, list[dict[str, Any]]] = {name: [] for name in GROUPS}
    groups["mend"] += _problems(studio, phrases)
    for thing in things:
        groups[thing.group].append(_told(thing, phrases))
    mistakes = len(studio.mistakes)
    return {
        "title": phrases.say("desk_hands.today"), "day": phrases.day(studio.today),
        "studio": studio_title(phrases, studio.file),
        "counts": {"mistakes": mistakes, "remarks": len(studio.problems) - mistakes,
                   "things": len(things)},
        "groups": [{"name": name, "title": phrases.say(f"desk_hands.group_{name}"), "things": found}
                   for name, found in groups.items() if found],
    }  # fmt: skip


def unread(slip: Slip, phrases: Phrases) -> dict[str, Any]:
    """The list where nothing can be read: what is wrong with the folder, and what to do."""
    thing = _thing(phrases.tell(slip.what), slip.place or NOWHERE)
    title = phrases.say("desk_hands.group_mend")
    things = [{**thing, "remedy": phrases.tell(slip.remedy)}]
    return {"title": phrases.say("desk_hands.today"), "day": "", "studio": "",
            "counts": {"mistakes": 1, "remarks": 0, "things": 0},
            "groups": [{"name": "mend", "title": title, "things": things}]}  # fmt: skip


def _problems(studio: Studio, phrases: Phrases) -> Iterator[dict[str, Any]]:
    """Mistakes, then remarks; one made again and again stands once."""
    told = sorted(told_once(studio.problems), key=lambda each: each[0].is_remark)
    for problem, more in told:
        words = " ".join(filter(None, (phrases.tell(problem.what), phrases.tell(more))))
        remedy, place = phrases.tell(problem.remedy), problem.place
        yield {**_thing(words, place), "remedy": remedy, "is_remark": problem.is_remark}


def _thing(words: str, place: Place) -> dict[str, Any]:
    return {"words": words, "remedy": "", "place": place.short, "href": href(place), "command": "",
            "deed": [], "is_remark": False}  # fmt: skip


def _told(thing: Thing, phrases: Phrases) -> dict[str, Any]:
    words = phrases.tell(thing.what)
    if thing.command and not thing.deed:  # what follows is nothing to press here
        words = phrases.say("desk_hands.in_terminal", words=words)
    found = _thing(words, thing.place)
    return {**found, "command": thing.command, "deed": [*thing.deed]}


def _waiting(border: Border, *, with_tags: bool) -> Iterator[Thing]:
    """What the terminal tells too; what `_problems` tells one by one, and scores, are left out."""
    for each in waiting(border, with_tags=with_tags):
        if group := _HOMES.get(each.what.key.removeprefix("today.")):
            yield Thing(group, each.what, each.place, each.command)


def _prices(studio: Studio) -> Iterator[Thing]:
    """Finished work for sale whose price nobody wrote: the worked-out one stands."""
    for piece in studio.book.pieces.values():
        if piece.price is None and piece.state in FOR_SALE and piece.can_be_costed:
            named = {"number": str(piece.number), "title": str(piece.title)}
            what = Said("desk_hands.no_price", **named)
            yield Thing("sell", what, piece.number.place, deed=("reprice", named["number"], ""))


def _back_from_fairs(studio: Studio) -> Iterator[Thing]:
    """Fairs and shows that are over, where the records still have work that did not sell."""
    home = _home(studio)
    standing: dict[str, list[str]] = {}
    for number, piece in studio.book.pieces.items():
        for name in piece.standing if piece.state in (*FOR_SALE, "not for sale") else ():
            standing.setdefault(name, []).append(number)
    for name, outlet in studio.book.outlets.items():
        there = standing.get(name)
        if there and str(outlet.kind) in _FAIRS and outlet.dates and _over(outlet, studio.today):
            told = {"outlet": outlet_title(outlet), "pieces": tuple(there)}
            what = Said("desk_hands.back_from", number=len(there), **told)
            deed = ("move", "--from", name, home)
            yield Thing("dates", what, outlet.name.place, " ".join(deed), deed)


def _over(outlet: Outlet, today: date) -> bool:
    return bool(outlet.dates and outlet.dates.last < today)


def _home(studio: Studio) -> str:
    own = (name for name, each in studio.book.outlets.items() if each.kind == "studio")
    return next(own, STUDIO)


def _shows(studio: Studio) -> Iterator[Thing]:
    """Shows that begin soon, or are on."""
    for show in studio.book.shows.values():
        if show.dates and show.dates.last >= studio.today:
            days = (show.dates.first - studio.today).days
            if days <= SOON:
                key = "show_soon" if days > 0 else "show_on"
                told = {"title": str(show.title), "last": show.dates.last, "number": max(days, 0)}
                what = Said(f"desk_hands.{key}", **told)
                yield Thing("dates", what, show.title.place, f"papers {show.name}")


def _money(studio: Studio) -> Iterator[Thing]:
    """What outlets sold and no record notes as paid; deposits of clients whose work isn't sold."""
    for debt in owed(studio.book, studio.flow, studio.today):
        one = debt.sold
        outlet = outlet_title(one.outlet) if one.outlet else ""
        told = {"outlet": outlet, "money": Said("form.money", value=debt.amount.value)}
        what = Said("desk_hands.owed", number=str(one.piece.number), on=one.sale.on, **told)
        yield Thing("sell", what, one.sale.record_place)
    for paid in deposits(studio.book, studio.today):
        number, first = paid.commission.number, paid.amount
        named = {"commission": str(number), "on": paid.on}
        what = Said("desk_hands.first_part", **named)
        if first:
            money = Said("form.money", value=first.value)
            what = Said("desk_hands.first_part_of", **named, money=money)
        yield Thing("sell", what, number.place)


def _copies(studio: Studio) -> Iterator[Thing]:
    """What a build would say of copies at a second place."""
    if what := reminder_shown(studio):
        yield Thing("keep", what, command="publish --records")


_FINDS = (_prices, _back_from_fairs, _shows, _money, _copies)
