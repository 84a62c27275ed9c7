"""The desk as a WSGI application: guards first, then the address, then the headers of every answer.

In: a request. Out: an answer. What can't be done is told in words, as a page or as JSON; a fault of
ours is told as such, and ends neither the desk nor the studio in memory.
"""

import json
import socket
import time
from collections.abc import Iterable, Mapping
from contextlib import suppress
from typing import Any

from werkzeug.exceptions import HTTPException
from werkzeug.routing import Map, Rule
from werkzeug.utils import redirect
from werkzeug.wrappers import Request, Response

from provenance.desk.answers import ROUTES as OF_RECORDS
from provenance.desk.desk import Desk
from provenance.desk.door import leading_on
from provenance.desk.guards import HEADERS, OPENS, OWN, PAGE, Guard, Refusal
from provenance.desk.rooms import ROUTES as OF_ROOMS
from provenance.desk.routes import Asked, Route, as_json, refused
from provenance.desk.seen_routes import ROUTES as OF_SIGHT
from provenance.output.fault_log import logged
from provenance.problems import Said, Slip

ROUTES: tuple[Route, ...] = (*OF_ROOMS, *OF_RECORDS, *OF_SIGHT)
_STRANGERS = ("not_let_in", "from_elsewhere")
_PATIENCE = 60.0  # seconds for what is sent
_PART = 1 << 16
_TEXT = "text/plain; charset=utf-8"


class App:
    """All addresses of one desk."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.guard = Guard(desk.port, desk.cookie, desk.token, desk.only_look)
        self._map = Map([Rule(each.rule, endpoint=each, methods=[each.method]) for each in ROUTES])

    def __call__(self, environ: dict[str, Any], start: Any) -> Iterable[bytes]:
        request = Request(environ)
        answer = self._answer(request)
        for name, value in {**HEADERS, "Content-Security-Policy": PAGE}.items():
            answer.headers.setdefault(name, value)
        return answer(environ, start)

    def _answer(self, request: Request) -> Response:
        refusal = self.guard.refuse(request)
        if refusal and refusal.why in _STRANGERS and (opened := self._opened(request)):
            return opened
        if refusal:
            return self._refused(request, refusal)
        try:
            return self._found(request)
        except HTTPException as error:
            return self._refused(request, Refusal(error.code or 404, "no_address"))
        except Slip as slip:
            return refused(self.desk, slip, _status(slip))
        except TimeoutError:
            return self._refused(request, Refusal(408, "too_slow"))
        except Exception as error:  # a fault of ours ends one answer, and is told; the desk goes on
            return self._refused(request, Refusal(500, "fault"), _log_of(error))

    def _found(self, request: Request) -> Response:
        route, named = self._map.bind_to_environ(request.environ).match()
        sent = _sent(request) if request.method == "POST" else {}
        if sent is None:
            return self._refused(request, Refusal(400, "no_json"))
        answer: Response = route.answer(self.desk, Asked(request, _texts(named), sent))
        return answer

    def _opened(self, request: Request) -> Response | None:
        """The browser is let in by the key in the address; one that others may have seen lets in
        once. From another page, our `door` as well, a browser sends a strict cookie only after a
        page of ours has led on."""
        given, desk = request.args.get(OPENS, ""), self.desk
        if request.method != "GET" or request.path != "/" or given not in desk.keys:
            return None
        desk.used(given)
        answer = redirect("/", 303)
        if request.headers.get("Sec-Fetch-Site", "none") not in OWN:
            words = leading_on("/", desk.phrases.say("desk.lead_on"))
            answer = Response(words, content_type="text/html; charset=utf-8")
        answer.set_cookie(self.guard.cookie_name, desk.cookie, httponly=True, samesite="Strict",
                          path="/")  # fmt: skip
        return answer

    def _refused(self, request: Request, refusal: Refusal, log: str = "") -> Response:
        """Nothing more is read of what is refused."""
        with suppress(OSError, KeyError, AttributeError):
            request.environ["werkzeug.socket"].shutdown(socket.SHUT_RD)
        words = self.desk.phrases.say(f"desk.refused_{refusal.why}") + (f" {log}" if log else "")
        if request.method == "POST":
            return as_json({"what": words, "remedy": "", "place": "", "href": ""}, refusal.status)
        answer = Response(f"{words}\n", refusal.status, content_type=_TEXT)
        if refusal.status == 405:
            answer.headers["Allow"] = "GET, POST"
        return answer


def _log_of(error: Exception) -> str:
    """Where the log of a fault lies; '' where there is no room for one."""
    with suppress(OSError):
        return logged(error)
    return ""


def _status(slip: Slip) -> int:
    """What isn't there is not found."""
    key = slip.what.key if isinstance(slip.what, Said) else ""
    return 404 if key in ("desk.no_record", "desk.not_there", "find.no_piece") else 400


def _texts(named: Mapping[str, Any]) -> dict[str, str]:
    return {word: str(value) for word, value in named.items()}


def _sent(request: Request) -> dict[str, Any] | None:
    """The JSON that was sent; None for what is none. TimeoutError where it comes too slowly."""
    left, parts = int(request.environ["CONTENT_LENGTH"]), list[bytes]()
    until, stream = time.monotonic() + _PATIENCE, request.environ["wsgi.input"]
    while left:
        part = stream.read1(min(left, _PART))
        if not part:
            return None
        parts.append(part)
        left -= len(part)
        if time.monotonic() > until:
            raise TimeoutError
    try:
        found = json.loads(b"".join(parts))
    except (ValueError, RecursionError):
        return None
    return found if isinstance(found, dict) else None
