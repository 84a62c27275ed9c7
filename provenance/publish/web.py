"""One question to a web server, within limits.

In: an address, the hosts that a redirect may lead to. Out: an `Answer`: what was served, what
redirected, or why nothing came. Never more than a few megabytes, a few redirects, some seconds;
nothing is kept, and a host that is not the studio's is never asked. Statuses: RFC 9110.
"""

import http.client
import ssl
import time
import urllib.error
import urllib.request
import zlib
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field, replace
from typing import Any
from urllib.parse import quote, urljoin, urlsplit

SECONDS, MOST_SECONDS = 15.0, 40.0  # for a single step; for one answer
MOST_BYTES = 8_000_000
MOST_HOPS = 5
LASTING = (301, 308)
_HOPS = (301, 302, 303, 307, 308)
_PART = 65_536
NO_HOST = "-"
_KEPT = "/%:@!$&'()*+,;=~"  # what a path may hold beside letters and digits


@dataclass(frozen=True, slots=True)
class Answer:
    """What came of a question. `fault` is '' or one of tls, silent, elsewhere, loop, large; `hops`
    are the status and target of each redirect; `content` is unpacked."""

    asked: str
    final: str
    status: int = 0
    headers: Mapping[str, str] = field(default_factory=dict)
    content: bytes = b""
    hops: tuple[tuple[int, str], ...] = ()
    fault: str = ""
    why: str = ""


class _Stay(urllib.request.HTTPRedirectHandler):
    """Redirects are looked at before they are followed."""

    def http_error_302(self, *_: Any, **__: Any) -> None:
        return None

    http_error_301 = http_error_303 = http_error_307 = http_error_308 = http_error_302


_OPENER = urllib.request.build_opener(_Stay)


def ask(address: str, hosts: frozenset[str]) -> Answer:
    """Open an address and follow where it leads, as long as that is one of the `hosts`."""
    at, hops = address, list[tuple[int, str]]()
    while True:
        answer = _once(address, at)
        target = answer.headers.get("location", "")
        if answer.fault or answer.status not in _HOPS or not target:
            return replace(answer, hops=tuple(hops))
        at = _led(at, target)
        hops.append((answer.status, at))
        if not at.lower().startswith(("http://", "https://")) or host_of(at) not in hosts:
            return Answer(address, at, answer.status, hops=tuple(hops), fault="elsewhere")
        if len(hops) > MOST_HOPS:
            return Answer(address, at, answer.status, hops=tuple(hops), fault="loop")


def host_of(address: str) -> str:
    """Host and port of an address, '-' where it is none; the usual port of its scheme is left
    out, and letters beyond ASCII are as the name service has them (RFC 3490)."""
    try:
        parts = urlsplit(address)
        usual = {"http": 80, "https": 443}.get(parts.scheme)
        port = parts.port if parts.port != usual else None
        host = _plain_host(parts.hostname or "")
    except ValueError:
        return NO_HOST
    return f"{host}:{port}" if port else host


def _plain_host(host: str) -> str:
    return host if host.isascii() else host.encode("idna").decode()


def _led(at: str, target: str) -> str:
    """Where a server leads; one that writes letters raw means UTF-8, which was read as Latin-1."""
    with suppress(UnicodeError):
        target = target.encode("latin-1").decode()
    try:
        return urljoin(at, target)
    except ValueError:
        return target


def _sendable(address: str) -> str:
    """An address in the letters that may be sent (RFC 3986, RFC 3987 3.1)."""
    parts = urlsplit(address)
    path, query = quote(parts.path, safe=_KEPT), quote(parts.query, safe=f"{_KEPT}?")
    host = _plain_host(parts.netloc)
    return parts._replace(netloc=host, path=path, query=query).geturl()


def _once(address: str, at: str) -> Answer:
    headers = {"Accept-Encoding": "gzip", "User-Agent": "provenance (a studio's own check)"}
    try:
        request = urllib.request.Request(_sendable(at), headers=headers)
        with _OPENER.open(request, timeout=SECONDS) as response:
            return _read(address, at, response)
    except urllib.error.HTTPError as answer:
        with answer:
            names = {name.lower(): value for name, value in answer.headers.items()}
            return Answer(address, at, answer.code, names)
    except (OSError, http.client.HTTPException, ValueError, zlib.error) as fault:
        why = getattr(fault, "reason", None) or fault
        is_tls = isinstance(why, ssl.SSLError)
        said = getattr(why, "verify_message", "") or str(why) or type(why).__name__
        return Answer(address, at, fault="tls" if is_tls else "silent", why=said)


def _read(address: str, at: str, response: Any) -> Answer:
    names = {name.lower(): value for name, value in response.headers.items()}
    is_packed = names.get("content-encoding", "").lower() in ("gzip", "x-gzip", "deflate")
    unpack = zlib.decompressobj(zlib.MAX_WBITS | 32) if is_packed else None
    content, end = b"", time.monotonic() + MOST_SECONDS
    while part := response.read1(_PART):
        content += unpack.decompress(part, MOST_BYTES) if unpack else part
        if len(content) > MOST_BYTES or time.monotonic() > end:
            return Answer(address, at, response.status, names, fault="large")
    return Answer(address, at, response.status, names, content)
