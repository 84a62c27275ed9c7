"""Addresses of the hands: today's list and the other lists as pages, the deeds as JSON, runs as a
stream of lines.

In: requests that the guards let by. Out: `ROUTES`. A slip is told in words: 409 where what
was shown no longer holds, else 400; nothing is written then.
"""

import json
from collections.abc import Iterable, Iterator
from functools import partial
from typing import Any

from werkzeug.wrappers import Response

from provenance.desk.desk import Desk
from provenance.desk.links import is_stale
from provenance.desk.lists import LISTS
from provenance.desk.routes import Asked, Route, as_json, page, refused
from provenance.desk.today import unread
from provenance.problems import Slip

LINES = "application/x-ndjson"
DEEDS = ("/begin", "/photos", "/alt", "/deed", "/deed/do", "/undo")


def _refused(desk: Desk, slip: Slip) -> Response:
    return refused(desk, slip, 409 if is_stale(slip) else 400)


def _listed(room: str, desk: Desk, asked: Asked) -> Response:
    address = "/" if room == "today" else f"/{room}"
    query = {name: asked.request.args.get(name, "") for name in ("state", "words")}
    try:
        return page(desk, room, desk.hands.seen(address, query))
    except Slip as slip:
        answer = page(desk, "today", unread(slip, desk.phrases))
        answer.status_code = 400
        return answer


def _done(address: str, desk: Desk, asked: Asked) -> Response:
    try:
        found = desk.hands.do(address, asked.sent)
    except Slip as slip:
        return _refused(desk, slip)
    desk.look()
    return as_json(found)


def _run(desk: Desk, asked: Asked) -> Response:
    try:
        found = desk.hands.run(asked.sent)
    except Slip as slip:
        return _refused(desk, slip)
    return Response(_streamed(found), content_type=LINES)


def _streamed(found: Iterable[dict[str, Any]]) -> Iterator[str]:
    for each in found:
        yield json.dumps(each, ensure_ascii=False) + "\n"


ROUTES = (
    Route("/", partial(_listed, "today")),
    *(Route(f"/{name}", partial(_listed, name)) for name in LISTS),
    *(Route(rule, partial(_done, rule), "POST") for rule in DEEDS),
    Route("/run", _run, "POST"),
)
