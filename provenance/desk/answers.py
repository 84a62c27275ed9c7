"""The addresses of the desk for one record: its page, its text, saving, the stream, words.

In: the desk, what was asked for. Out: answers; see `routes` and `told` for their shapes.
"""

import json
from collections.abc import Iterator

from werkzeug.wrappers import Response

from provenance.desk.desk import Desk
from provenance.desk.edges import edge
from provenance.desk.face import edge_of
from provenance.desk.records import record_path
from provenance.desk.routes import Asked, Route, as_json, page
from provenance.desk.saving import Stale, digest_of, save, text_of
from provenance.desk.told import Read, read_of, unread
from provenance.desk.words import spot_of, words_at
from provenance.problems import Said, Slip


def _at(desk: Desk, asked: Asked) -> Response:
    name = asked.named["path"]
    return page(desk, "at", {"read": _read_of(desk, name)}, name)


def _read(desk: Desk, asked: Asked) -> Response:
    return as_json(_read_of(desk, asked.named["path"]))


def _read_of(desk: Desk, name: str) -> Read:
    """Slip for what is no record; a studio that can't be read is told among the problems."""
    path = record_path(desk.folder, name)
    try:
        seen = desk.seen
    except Slip as slip:
        return unread(path, name, slip, desk.phrases)
    phrases = desk.phrases
    read = desk.memory.work(lambda: read_of(path, name, seen, phrases))
    return {**read, "edge": edge_of(edge(desk, name)), "watching": desk.watching}


def _save(desk: Desk, asked: Asked) -> Response:
    name, text, digest = (asked.text(each) for each in ("path", "text", "digest"))
    if not isinstance(asked.sent.get("text"), str):
        raise Slip(Said("desk.no_text"))
    try:
        written = save(desk.folder, name, text, digest)
    except Stale as stale:
        return as_json({"theirs": text_of(stale.now), "digest": digest_of(stale.now)}, 409)
    desk.look()
    read = _read_of(desk, name)
    if read["digest"] != digest_of(written):  # another wrote since: what was typed no longer stands
        return as_json({"theirs": read["text"], "digest": read["digest"]}, 409)
    return as_json(read)


def _stream(desk: Desk, asked: Asked) -> Response:
    name = asked.request.args.get("at", "")
    if desk.tabs.is_full:
        return as_json({"what": desk.phrases.say("desk.tabs")}, 429)
    return Response(_events(desk, name), content_type="text/event-stream; charset=utf-8")


def _events(desk: Desk, name: str) -> Iterator[str]:
    yield "retry: 1000\n\n"
    for is_news in desk.tabs.listen():
        if not is_news:
            yield ": still here\n\n"
            continue
        try:
            read = _read_of(desk, name) if name else {}
        except (Slip, OSError):
            yield "event: gone\ndata: {}\n\n"
            continue
        told = {word: value for word, value in read.items() if word != "text"}
        yield f"event: seen\ndata: {json.dumps(told, ensure_ascii=False)}\n\n"


def _words(desk: Desk, asked: Asked) -> Response:
    given = asked.request.args
    column = given.get("column", "1")
    at = int(column) if column.isascii() and column.isdigit() and len(column) < 7 else 1
    spot = spot_of(given.get("line_text", ""), at, given.get("inside", ""))
    name, phrases = given.get("at", ""), desk.phrases
    return as_json(desk.memory.ask(lambda it: words_at(it.studio.book, phrases, name, spot)))


ROUTES = (
    Route("/at/<path:path>", _at),
    Route("/read/<path:path>", _read),
    Route("/save", _save, "POST"),
    Route("/stream", _stream),
    Route("/words", _words),
)
