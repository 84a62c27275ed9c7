"""Who may ask the desk, and for what: every request is held against this before anything else.

In: a request as it came, the desk's port and the secrets of this run. Out: None, or the status and
the reason (a phrase under `[desk]`) of a refusal; the headers of every answer.

A page of any site can make the browser of this machine send requests here, and any name can be made
to lead to 127.0.0.1 (DNS rebinding). So: the name in Host is ours, first of all; what reads needs
the cookie of this run, what writes also Origin, a token that pages of ours alone know, and JSON,
which no form can send. `Sec-Fetch-Site`, where a browser sends it, must say that the request came
from our own page or the maker's hand; another port of this machine is "same-site", and foreign.
Cookies know no ports: a server on another port of this machine, once opened in the same browser,
has ours. Pages of it are refused as above; asking by itself, without the browser, it is refused
where the system tells that it is another user's (`asking`; Linux), and nowhere else.
Rules: Fetch Metadata (W3C), RFC 9110 7.2 (Host), RFC 6265bis 5.2 (SameSite), Fetch 3.2 (Origin).
"""

import hmac
from collections.abc import Mapping
from dataclasses import dataclass

from werkzeug.wrappers import Request

from provenance.desk.dropped import MOST_BYTES

MOST_SENT = 2_000_000  # bytes
MOST_OF_A_PHOTO = MOST_BYTES * 4 // 3 + 10_000  # as base64, in JSON with its name
_LARGE = ("/photos",)
OWN = ("same-origin", "none")
OPENS = "desk"  # the name of the key in the address that opens the desk

_CLOSED = "default-src 'none'; base-uri 'none'; "
PAGE = (
    _CLOSED + "script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; "
    "connect-src 'self'; frame-src 'self'; form-action 'self'; frame-ancestors 'none'"
)
PREVIEW = (  # a page of the site as it would be published, without its scripts, in a frame of ours
    _CLOSED + "style-src 'self' 'unsafe-inline'; img-src 'self' data:; font-src 'self'; "
    "form-action 'none'; frame-ancestors 'self'; sandbox allow-same-origin"
)
HEADERS: Mapping[str, str] = {
    "X-Content-Type-Options": "nosniff",
    "Cache-Control": "no-store",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
}


@dataclass(frozen=True, slots=True)
class Refusal:
    """A status, and why: the key of a phrase."""

    status: int
    why: str


@dataclass(frozen=True, slots=True)
class Guard:
    """The rules of one run; `only_look` lets nothing be written."""

    port: int
    cookie: str
    token: str
    only_look: bool = False

    @property
    def hosts(self) -> tuple[str, ...]:
        """The names we go by."""
        return f"127.0.0.1:{self.port}", f"localhost:{self.port}"

    @property
    def cookie_name(self) -> str:
        """Cookies know no ports: every desk of this machine has one of its own."""
        return f"desk-{self.port}"

    def refuse(self, asked: Request) -> Refusal | None:
        """Why a request is not answered."""
        return self._wrong_way(asked) or self._stranger(asked) or (
            self._writes(asked) if asked.method == "POST" else None
        )  # fmt: skip

    def _wrong_way(self, asked: Request) -> Refusal | None:
        """The name first; then what no browser of ours would send."""
        if asked.environ.get("HTTP_HOST") not in self.hosts:
            return Refusal(421, "host")
        target = asked.environ.get("REQUEST_URI", "")
        if not target.startswith("/") or target.startswith("//"):
            return Refusal(400, "target")
        if asked.method not in ("GET", "POST"):
            return Refusal(405, "method")
        if "HTTP_TRANSFER_ENCODING" in asked.environ or "HTTP_UPGRADE" in asked.environ:
            return Refusal(411, "length")
        if asked.method == "GET" and asked.environ.get("CONTENT_LENGTH") not in (None, "", "0"):
            return Refusal(400, "body")
        return None

    def _stranger(self, asked: Request) -> Refusal | None:
        """From our own page or the maker's hand, and from a browser that was let in."""
        if asked.headers.get("Sec-Fetch-Site", "none") not in OWN:
            return Refusal(403, "from_elsewhere")
        if not _same(asked.cookies.get(self.cookie_name, ""), self.cookie):
            return Refusal(403, "not_let_in")
        return None

    def _writes(self, asked: Request) -> Refusal | None:
        """What is sent to be written."""
        origins = [f"http://{host}" for host in self.hosts]
        host, origin = asked.environ.get("HTTP_HOST"), asked.headers.get("Origin", "")
        if origin not in origins or origin != f"http://{host}":
            return Refusal(403, "from_elsewhere")
        if not _same(asked.headers.get("X-Desk", ""), self.token):
            return Refusal(403, "token")
        if asked.headers.get("Content-Type", "").lower() not in _JSON:
            return Refusal(415, "json_alone")
        length = asked.environ.get("CONTENT_LENGTH", "")
        if not length.isascii() or not length.isdigit():
            return Refusal(411, "length")
        if int(length) > (MOST_OF_A_PHOTO if asked.path in _LARGE else MOST_SENT):
            return Refusal(413, "too_large")
        return Refusal(403, "only_look") if self.only_look else None


_JSON = ("application/json", "application/json; charset=utf-8", "application/json;charset=utf-8")


def _same(one: str, other: str) -> bool:
    """Whether two secrets are equal, told in the same time for any."""
    return hmac.compare_digest(one.encode("utf-8", "replace"), other.encode())
