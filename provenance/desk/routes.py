"""Addresses of the desk: who answers which, and in what form.

In: a method, a rule (as werkzeug writes them), a function of the desk and of what was asked. Out:
`Route`s, which `app` collects; answers as JSON, as a page of `templates/desk`, as bytes. Here alone
pages are handed to their templates: `page(desk, "at", {...})` fills `templates/desk/at.html` with
plain values, and with what every page of the desk needs.
"""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from werkzeug.wrappers import Request, Response

from provenance.desk import face
from provenance.desk.desk import Desk
from provenance.desk.edges import edge
from provenance.desk.links import refusal
from provenance.problems import Slip
from provenance.public.names import outlet_title

JSON = "application/json"


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked for: the request, what its address names, the JSON that was sent."""

    request: Request
    named: Mapping[str, str] = field(default_factory=dict)
    sent: Mapping[str, Any] = field(default_factory=dict)

    def text(self, name: str) -> str:
        """A text that was sent; '' for none."""
        found = self.sent.get(name, "")
        return found if isinstance(found, str) else ""


@dataclass(frozen=True, slots=True)
class Route:
    """One address: `rule` such as `/see/tag/<number>.png`; GET unless said otherwise."""

    rule: str
    answer: Callable[[Desk, Asked], Response]
    method: str = "GET"


def as_json(value: object, status: int = 200) -> Response:
    """Plain values as JSON."""
    text = json.dumps(value, ensure_ascii=False)
    return Response(text, status, content_type=JSON)


def _outlets(desk: Desk) -> dict[str, str]:
    """Names of outlets and their titles, to choose from; none where the studio can't be read."""
    try:
        known = desk.seen.studio.book.outlets
    except Slip:
        return {}
    return {name: outlet_title(each) for name, each in known.items()}


def page(desk: Desk, room: str, values: Mapping[str, Any], name: str = "") -> Response:
    """A page of templates/desk: its own values, and what every page has (`face.frame`; `wrong`: how
    many mistakes there are); its edge has the yarns of the record `name`, else the newest ones."""
    framed = face.frame(desk.told(), desk.phrases, edge(desk, name))
    more = {"wrong": desk.mistakes, "outlets": _outlets(desk)}
    text = face.page(room, {**framed, **more}, values)
    return Response(text, content_type="text/html; charset=utf-8")


def refused(desk: Desk, slip: Slip, status: int = 400) -> Response:
    """What can't be done, in words: {"what", "remedy", "place", "href"}."""
    return as_json(refusal(slip, desk.phrases), status)
