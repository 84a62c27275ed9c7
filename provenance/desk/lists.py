"""The lists of the desk: pieces, dye book, shelf, commissions, shows, files of the studio.

In: the studio, which state is wanted, words to look for. Out: plain dicts (their shapes stand in
`hands`). Nothing here is worked out that costs: records and the flow alone, so that a thousand
pieces are listed at once. Words are looked for in all that an item shows, large and small alike.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date
from typing import Any

from provenance.desk.face import edge_of_piece
from provenance.desk.links import href
from provenance.figures.flow.flow import Key
from provenance.figures.stock.reminders import low_lots
from provenance.language.phrases import Phrases
from provenance.problems import Place
from provenance.public.names import called, outlet_title
from provenance.records.book import Book
from provenance.records.commissions import Commission
from provenance.records.issued import sent_and_until
from provenance.records.pieces import Piece
from provenance.records.reading import Named
from provenance.records.shows import Show
from provenance.reports.measured import in_store
from provenance.studio import Studio

Item = dict[str, Any]
_SHELVES = (("fleece", "fleece"), ("dyestuff", "dyestuffs"), ("mordant", "mordants"),
            ("yarn", "yarns"), ("sundry", "sundries"))  # fmt: skip


def listed(studio: Studio, name: str, query: Mapping[str, str], phrases: Phrases) -> Item:
    """One list by its name: pieces, dyebook, shelf, commissions, shows, studio."""
    find, begin = LISTS[name]
    wrong = Counter(problem.place.file for problem in studio.mistakes)
    items = [{**item, "wrong": wrong[file]} for item, file in find(studio, phrases)]
    state, words = query.get("state", ""), " ".join(query.get("words", "").split())
    found = [item for item in items if not words or _has(item, words)]
    shown = [item for item in found if state in ("", item.get("state"))]
    return {
        "name": name, "title": phrases.say(f"desk_hands.list_{name}"), "shown": len(shown),
        "of": len(items), "state": state, "words": words, "begin": begin, "items": shown,
        "states": _states(found, state), "empty": "" if shown else _empty(items, phrases),
    }  # fmt: skip


def _empty(items: list[Item], phrases: Phrases) -> str:
    return phrases.say("desk_hands.none_such" if items else "desk_hands.none_yet")


def _has(item: Item, words: str) -> bool:
    """Whether every word stands somewhere in what an item shows."""
    text = " ".join(_texts(item.values())).casefold()
    return all(word in text for word in words.casefold().split())


def _texts(values: Iterable[Any]) -> Iterator[str]:
    for value in values:
        if isinstance(value, str):
            yield value
        elif isinstance(value, Mapping):
            yield from _texts(value.values())
        elif isinstance(value, list):
            yield from _texts(value)


def _states(items: list[Item], chosen: str) -> list[Item]:
    counts = Counter(str(item["state"]) for item in items if "state" in item)
    titles = {str(item["state"]): item["state_words"] for item in items if "state" in item}
    return [
        {"name": name, "title": titles[name], "count": counts[name], "is_chosen": name == chosen}
        for name in titles
    ]


def _pieces(studio: Studio, phrases: Phrases) -> Iterator[tuple[Item, str]]:
    for number in sorted(studio.book.pieces, reverse=True):
        piece = studio.book.pieces[number]
        item = {**_piece(studio.book, piece, phrases), "edge": edge_of_piece(studio, number)}
        yield item, piece.number.place.file


def _piece(book: Book, piece: Piece, phrases: Phrases) -> Item:
    key = piece.state.replace(" ", "_")
    places = [book.outlets.get(str(name)) for name in piece.places]
    photo = next((str(each.file) for each in piece.photos), "")
    return {
        "number": str(piece.number), "title": str(piece.title),
        "kind": phrases.named("kind", str(piece.kind)) if piece.kind else "",
        "state": piece.state, "state_words": phrases.named("state", key),
        "finished": str(piece.finish or ""), "size": piece.size.written if piece.size else "",
        "at": ", ".join(outlet_title(each) for each in places if each),
        "price": "" if piece.price is None else phrases.money(piece.price),
        "photo": photo.removeprefix("photos/"), "photos": len(piece.photos),
        "wants": [phrases.tell(words) for words in piece.missing], "is_draft": piece.is_draft,
        "href": href(_top(piece.number.place)),
    }  # fmt: skip


def _top(place: Place) -> Place:
    return Place(place.file)


def _dyebook(studio: Studio, phrases: Phrases) -> Iterator[tuple[Item, str]]:
    users: dict[str, list[str]] = {}
    for number, piece in studio.book.pieces.items():
        for name in dict.fromkeys(str(yarn.lot) for yarn in piece.yarns if yarn.lot):
            users.setdefault(name, []).append(number)
    baths = studio.book.baths.items()
    for name, bath in sorted(baths, key=lambda each: (str(each[1].date or ""), each[0]))[::-1]:
        dyes = dict.fromkeys(str(dye) for step in bath.steps for dye in step.dyes)
        lots = [
            {"name": str(each.becomes), "title": called(studio.book, str(each.becomes)),
             "colour": str(each.colour or bath.colour or ""), "in": users.get(each.becomes, []),
             **_amounts(studio, Key("dyed", str(each.becomes)), phrases)}
            for each in bath.dyed
        ]  # fmt: skip
        place = _top(bath.record_place)
        yield {"name": name, "on": str(bath.date or ""), "title": str(bath.title or name),
               "dyes": [*dyes], "lots": lots, "href": href(place)}, place.file  # fmt: skip


def _amounts(studio: Studio, key: Key, phrases: Phrases) -> Item:
    """What is left of a lot, and what there was; '' where nobody weighed it."""
    flow, node = studio.flow, studio.flow.nodes.get(key)
    if node is None or node.holds is None:
        return {"left": "", "whole": "", "share": None}
    left, whole = flow.left(key), flow.whole(key)
    share = max(0, min(100, round(100 * left / whole))) if whole else 0
    told = (phrases.tell(in_store(studio.book, key, each, node.unit)) for each in (left, whole))
    return {**dict(zip(("left", "whole"), told, strict=True)), "share": share}


def _shelf(studio: Studio, phrases: Phrases) -> Iterator[tuple[Item, str]]:
    low = {each.name for each in low_lots(studio.book, studio.flow)}
    for kind, shelf in _SHELVES:
        lots: Mapping[str, Named] = getattr(studio.book, shelf)
        for name, lot in lots.items():
            yield _lot(studio, Key(kind, name), lot.name.place, phrases, low), lot.name.place.file
    for name, dyed in studio.book.dyed.items():
        place = dyed.entry.becomes.place
        yield _lot(studio, Key("dyed", name), place, phrases, low), place.file


def _lot(studio: Studio, key: Key, place: Place, phrases: Phrases, low: set[str]) -> Item:
    remind = ((str(name), each.written) for name, each in studio.file.remind.items())
    return {
        "name": key.name, "title": called(studio.book, key.name), "state": key.kind,
        "state_words": phrases.say(f"desk_hands.shelf_{key.kind}"), "is_low": key.name in low,
        "least": dict(remind).get(key.name, ""), "href": href(place),
        **_amounts(studio, key, phrases),
    }  # fmt: skip


def _commissions(studio: Studio, phrases: Phrases) -> Iterator[tuple[Item, str]]:
    for number in sorted(studio.book.commissions, reverse=True):
        each = studio.book.commissions[number]
        yield _commission(studio, each, phrases), each.number.place.file


def _commission(studio: Studio, it: Commission, phrases: Phrases) -> Item:
    agreed, state = it.accepted, str(it.status)
    sent = sent_and_until(it, studio.book.issue_of(str(it.number)))
    piece = studio.book.pieces.get(str(agreed.piece)) if agreed and agreed.piece else None
    return {
        "number": str(it.number), "title": str(it.title or ""),
        "client": str(it.client.name or "") if it.client else "",
        "state": state, "state_words": phrases.say(f"desk_hands.asked_{state}"),
        "asked": str(it.asked or ""), "until": str(sent[1]) if sent else "",
        "sizes": [size.written for size in it.sizes], "like": str(it.like or ""),
        "price": phrases.money(agreed.price) if agreed and agreed.price is not None else "",
        "piece": str(piece.number) if piece else "",
        "piece_href": href(_top(piece.number.place)) if piece else "",
        "href": href(_top(it.number.place)),
    }  # fmt: skip


def _shows(studio: Studio, phrases: Phrases) -> Iterator[tuple[Item, str]]:
    for name, show in studio.book.shows.items():
        days = show.dates
        state = _when(show, studio.today)
        place = _top(show.record_place)
        yield {"name": name, "title": str(show.title), "place": str(show.place or ""),
               "days": phrases.days(days.first, days.last) if days else "", "state": state,
               "state_words": phrases.say(f"desk_hands.show_{state}"),
               "works": [*dict.fromkeys(map(str, show.hung))], "href": href(place),
               }, place.file  # fmt: skip


def _when(show: Show, today: date) -> str:
    if show.dates is None:
        return "undated"
    if today < show.dates.first:
        return "coming"
    return "now" if today <= show.dates.last else "past"


def _files(studio: Studio, _phrases: Phrases) -> Iterator[tuple[Item, str]]:
    """The files of studio/ and pages/ that the maker writes."""
    folder = studio.book.folder
    for home, endings in (("studio", (".yaml", ".yml")), ("pages", (".md",))):
        for path in sorted((folder / home).glob("*")):
            if path.suffix.lower() in endings and not path.name.startswith("."):
                file = f"{folder.name}/{home}/{path.name}"
                yield {"name": f"{home}/{path.name}", "title": path.stem,
                       "href": href(Place(file))}, file  # fmt: skip


Find = Callable[[Studio, Phrases], Iterator[tuple[Item, str]]]
LISTS: Mapping[str, tuple[Find, str]] = {
    "pieces": (_pieces, "piece"), "dyebook": (_dyebook, "bath"), "shelf": (_shelf, ""),
    "commissions": (_commissions, "commission"), "shows": (_shows, "show"),
    "studio": (_files, ""),
}  # fmt: skip
