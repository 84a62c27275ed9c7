"""The hands of the desk: one door for everything that the desk does or lists, in plain dicts.

In: an address, and what the browser sent (JSON) or asked for (query). Out: a dict of texts,
numbers, lists and dicts alone, for templates and JSON. `Hands(folder, today, ask, only_look=...)`;
`ask(work)` gives what `work` makes of the border of the newest reading, after reading again what
changed. Every text is in the maker's words.

Slips come out as Slips: the server answers 400 with `links.refusal(slip, phrases)`: {"what",
"remedy", "place", "href"}; 409 where `links.is_stale(slip)`. With `only_look` every hand refuses.

A link into a record is `href`: "/at/PATH?line=12", PATH from the record folder; "" for none.

POST (`hands.do(address, sent)`):
  /begin {"what": "piece"|"bath"|"commission"|"show", "like": "", "title": "", "kind": ""}
      -> {"path", "href", "next": words, "remarks": [words of what runs short]}
  /photos {"number", "name", "data": base64}
      -> {"path": "photos/2026-014-img-2041.heic", "number", "is_double": bool, "told": [words],
          "width", "height", "is_named": whether the record names it, "alt": its words there}
  /alt {"path": "photos/...", "number", "words", "view": ""|"whole"|"detail"...}
      -> {"told", "changes", "path"}       done at once; `undo` takes it back
  /deed {"words": ["sell", "2026-014", "480", "--at", "dale-fair"]}, /undo {}
      -> {"told": [words], "changes": [{"place": "pieces/x.yaml:12", "href", "gone": [lines],
          "new": [lines]}], "mark": "..."}       mark "" where nothing changes
  /deed/do {"mark"} -> {"told": [words], "paths": [files it changed]}
`/run` (`hands.run(sent)`) {"what": "build"|"publish", "only_tell": bool, "yes": bool, "mark": ""}
  yields dicts, one a line of the stream: {"line": text} and at the end {"done": exit code, "words":
  what came of it, "asks": question or "", "mark"}. Where it asks, the same is sent again with
  "yes": true. Publishing tells first: "only_tell": true ends with a mark, which the publishing
  itself must bring.

GET (`hands.seen(address, query)`):
  / -> {"title", "day", "studio", "counts": {"mistakes", "remarks", "things"}, "groups": [{"name",
        "title", "things": [{"words", "remedy", "place", "href", "is_remark", "command": words after
        provenance, "deed": [words for /deed; a last "" is for the maker to fill] or []}]}]}
        groups: mend, sell, pieces, papers, shelf, dates, keep
  /pieces?state=&words= -> LIST of {"number", "title", "kind", "state", "state_words", "finished",
        "size", "at", "price", "photo": name in photos/ or "", "photos": how many, "wants": [words],
        "is_draft"}
  /dyebook?words= -> LIST of {"name", "title", "on", "dyes": [names], "lots": [{"name", "title",
        "colour": "#rrggbb" or "", "left", "whole", "share", "in": [numbers]}]}
  /shelf?state=fleece|dyestuff|mordant|yarn|sundry|dyed&words= -> LIST of {"name", "title", "state",
        "state_words", "left", "whole", "share": left of whole in hundredths or None, "is_low",
        "least"}
  /commissions?state= -> LIST of {"number", "title", "client", "state", "state_words", "asked",
        "until", "sizes", "like", "price", "piece", "piece_href"}
  /shows?state= -> LIST of {"name", "title", "place", "days", "state":
        "coming"|"now"|"past"|"undated", "state_words", "works": [numbers]}
  /studio -> LIST of {"name", "title"}       files of studio/ and pages/
  LIST = {"name", "title", "shown", "of", "state", "words", "states": [{"name", "title", "count",
        "is_chosen"}], "items": [...], "begin": "piece"|"bath"|"commission"|"show"|"",
        "empty": words where nothing is shown}; every item also has "href" and "wrong": mistakes in
        its file.
"""

import base64
import binascii
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import Any

from provenance.deeds.doing import do
from provenance.deeds.pricing import old_papers
from provenance.desk.beginning import short_of, started, write_begun
from provenance.desk.doing import Deeds
from provenance.desk.dropped import MOST_BYTES, Kept, keep_photo, named_as, words_for
from provenance.desk.links import href, shown
from provenance.desk.lists import listed
from provenance.desk.running import Runs
from provenance.desk.today import today as todays
from provenance.desk.wishes import wished
from provenance.language.phrases import Phrases, phrases_for_maker
from provenance.lock import lock
from provenance.problems import Place, Said, WrongWish
from provenance.public.border import Border

Sent = Mapping[str, Any]
Told = dict[str, Any]
Ask = Callable[[Callable[[Border], Any]], Any]


def _always() -> bool:
    """Nothing takes long."""
    return True


class Hands:
    """All that the desk does and lists; closed at the end."""

    def __init__(
        self,
        folder: Path,
        today: Callable[[], date],
        ask: Ask,
        *,
        only_look: bool = False,
        tags_known: Callable[[], bool] = _always,
    ) -> None:
        self._tags_known = tags_known
        self._folder, self._today, self._ask = folder, today, ask
        self._only_look = only_look
        self._deeds, self._runs = Deeds(folder), Runs(folder)

    def seen(self, address: str, query: Mapping[str, str]) -> Told:
        """A list: `/`, `/pieces` ...  Raises Slip where nothing can be read at all."""
        name = address.strip("/")
        if not name:
            known = self._tags_known()
            found = self._ask(lambda it: todays(it, _words(it), with_tags=known))
        else:
            found = self._ask(lambda it: listed(it.studio, name, query, _words(it)))
        return dict(found)

    def do(self, address: str, sent: Sent) -> Told:
        """One deed of the desk. Raises Slip with what can't be done."""
        self._refuse_only_look()
        return _HANDS[address](self, sent)

    def run(self, sent: Sent) -> Iterator[Told]:
        """Build or publish: its lines as they come. Raises Slip, at once, where that can't be."""
        self._refuse_only_look()
        phrases: Phrases = self._ask(_words)
        return self._runs.run(sent, phrases)

    def close(self) -> None:
        """End what runs."""
        self._runs.close()

    def _refuse_only_look(self) -> None:
        if self._only_look:
            raise WrongWish(Said("desk_hands.only_look"), Said("desk_hands.open_whole"))

    def _begin(self, sent: Sent) -> Told:
        what, like, title, kind = (_text(sent, name) for name in ("what", "like", "title", "kind"))
        with lock(self._folder, "start"):
            new = self._ask(lambda it: started(it.studio, what, like, title, kind))
            write_begun(self._folder, new)
        told: Told = self._ask(lambda border: {
            "next": _words(border).tell(new.next),
            "remarks": [_words(border).tell(words)
                        for words in (short_of(border.studio, like) if like else ())],
        })  # fmt: skip
        return {"path": new.file, "href": href(Place(f"{self._folder.name}/{new.file}")), **told}

    def _photos(self, sent: Sent) -> Told:
        number, name = _text(sent, "number"), _text(sent, "name") or "photo"
        self._ask(lambda border: border.studio.piece(number))
        data = _bytes(_text(sent, "data"), name)
        with lock(self._folder, "photos"):
            kept = keep_photo(self._folder, number, name, data)
        told: Told = self._ask(lambda border: _of_photo(border, number, kept))
        return told

    def _alt(self, sent: Sent) -> Told:
        path, words, number, view = (
            _text(sent, name) for name in ("path", "words", "number", "view")
        )
        with lock(self._folder, "photos"):
            deed, told = self._ask(lambda it: (
                deed := words_for(it.studio, number, path, words, view), shown(deed, _words(it))
            ))  # fmt: skip
            if deed.changes:
                do(self._folder, deed, self._today())
        return {**told, "path": path}

    def _deed(self, sent: Sent) -> Told:
        said = sent.get("words")
        words = [each for each in said if isinstance(each, str)] if isinstance(said, list) else []
        found: Told = self._ask(
            lambda it: self._deeds.show(wished(it.studio, words), it.studio, _words(it))
        )
        return found

    def _undo(self, _sent: Sent) -> Told:
        phrases: Phrases = self._ask(_words)
        return self._deeds.show_undo(phrases)

    def _do(self, sent: Sent) -> Told:
        it = self._deeds.do(_text(sent, "mark"), self._today)
        done = Said("desk_hands.deed_done" if it.kept is None else "deed.undone")
        words = it.deed.words.split(" ")
        numbers = words[1:-1] if words[0] == "reprice" and it.kept is None else ()
        told: list[str] = self._ask(
            lambda border: [
                _words(border).tell(each)
                for each in (done, *(old_papers(border, numbers) if numbers else ()))
            ]
        )
        names = (change.path.relative_to(self._folder) for change in it.deed.changes)
        return {"told": told, "paths": [name.as_posix() for name in names]}


def _words(border: Border) -> Phrases:
    return phrases_for_maker(border.studio.book)


def _text(sent: Sent, name: str) -> str:
    found = sent.get(name, "")
    return found if isinstance(found, str) else ""


def _bytes(text: str, name: str) -> bytes:
    if len(text) > MOST_BYTES * 4 // 3 + 4:
        raise WrongWish(Said("desk_hands.too_large", name=name), Said("desk_hands.smaller"))
    try:
        return base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError):
        raise WrongWish(Said("desk_hands.no_bytes", name=name)) from None


def _of_photo(border: Border, number: str, kept: Kept) -> Told:
    phrases, path = _words(border), f"photos/{kept.name}"
    named = named_as(border.studio.piece(number).record, path)
    said = [
        *((Said("desk_hands.double", path=path),) if kept.is_double else ()),
        *((Said("desk_hands.has_place"),) if kept.says.has_place else ()),
    ]
    return {
        "path": path, "number": number, "is_double": kept.is_double,
        "told": [phrases.tell(each) for each in said], "width": kept.photo.width,
        "height": kept.photo.height, "is_named": named is not None,
        "alt": str(named.alt or "") if named else "",
    }  # fmt: skip


_HANDS: Mapping[str, Callable[[Hands, Sent], Told]] = {
    "/begin": Hands._begin, "/photos": Hands._photos, "/alt": Hands._alt, "/deed": Hands._deed,
    "/deed/do": Hands._do, "/undo": Hands._undo,
}  # fmt: skip
