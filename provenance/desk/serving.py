"""The desk's own server: on this machine alone, for as long as the terminal lasts.

In: a desk, a port (0: any that is free). Out: a server on 127.0.0.1 in threads of its own; the
address it is opened by. Slow or endless requests are cut off. Where a desk is open already for the
same studio it is told where; a note of it lies in the platform's cache. The only door to werkzeug's
server.
"""

import errno
import hashlib
import json
import os
import signal
import socket
import threading
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from typing import Any

from werkzeug.serving import ThreadedWSGIServer, WSGIRequestHandler

from provenance.build.cache import forget, keep, kept
from provenance.desk.app import App
from provenance.desk.asking import is_of_another
from provenance.desk.desk import Desk
from provenance.desk.guards import OPENS
from provenance.desk.watching import Watch
from provenance.problems import Said, Slip

HOST = "127.0.0.1"
_SLOW = 20.0  # seconds without a byte
_HEAD = 30.0  # seconds for the head of a request
_MOST = 120  # threads


class _Handler(WSGIRequestHandler):
    """One request; nothing of it is written to the terminal."""

    timeout = _SLOW

    def setup(self) -> None:
        super().setup()
        self._late = threading.Timer(_HEAD, self._cut)
        self._late.daemon = True
        self._late.start()

    def _cut(self) -> None:
        with suppress(OSError):
            self.connection.shutdown(socket.SHUT_RDWR)

    def run_wsgi(self) -> None:
        self._late.cancel()
        with suppress(OSError):  # whoever asked has gone
            super().run_wsgi()

    def finish(self) -> None:
        self._late.cancel()
        with suppress(OSError):
            super().finish()

    def version_string(self) -> str:
        return "desk"

    def log(self, type: str, message: str, *args: Any) -> None:
        """Faults of ours are told by `app`."""


class _Server(ThreadedWSGIServer):
    """A few dozen requests at once, none of another user's programs."""

    daemon_threads = True

    def verify_request(self, request: Any, client_address: Any) -> bool:
        ours = request.getsockname()
        return threading.active_count() < _MOST and not is_of_another(client_address, ours)


def bound(port: int) -> socket.socket:
    """A socket on this machine alone. Slip for a port that is taken."""
    own = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if os.name == "posix":
        own.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        own.bind((HOST, port))
    except (OSError, OverflowError) as error:
        own.close()
        if isinstance(error, OSError) and error.errno == errno.EADDRINUSE:
            raise Slip(Said("desk.port_taken", port=str(port)), Said("desk.other_port")) from None
        raise Slip(Said("desk.no_port", port=str(port)), Said("desk.other_port")) from None
    own.listen(64)
    return own


@contextmanager
def served(desk: Desk, port: int) -> Iterator["_Server"]:
    """A desk that answers, in a thread of its own, and watches its folder."""
    with closing(bound(port)) as own:
        desk.port = int(own.getsockname()[1])
        server = _Server(HOST, desk.port, App(desk), _Handler, fd=own.fileno())
        thread = threading.Thread(target=server.serve_forever, args=(0.1,), daemon=True)
        watch = Watch(desk)
        thread.start()
        watch.start()
        try:
            yield server
        finally:
            watch.end()
            desk.close()
            server.shutdown()
            thread.join(timeout=3)
            server.server_close()


def address(desk: Desk, key: str = "") -> str:
    """Where the desk is opened in a browser."""
    return f"http://{HOST}:{desk.port}/?{OPENS}={key or desk.key}"


def _note(folder: Path) -> str:
    return f"desks/{hashlib.sha256(os.fsencode(folder.resolve())).hexdigest()}"


def refuse_second(folder: Path) -> None:
    """Slip where a desk of this studio is open already."""
    try:
        found = json.loads(kept(_note(folder)) or b"{}")
        process, port, where = int(found["process"]), int(found["port"]), str(found["address"])
    except (ValueError, KeyError, TypeError):
        return
    if process != os.getpid() and _is_there(process, port):
        raise Slip(Said("desk.already", address=where), Said("desk.end_other"))


def _is_there(process: int, port: int) -> bool:
    with suppress(OSError, OverflowError, ValueError):
        if os.name == "posix":
            os.kill(process, 0)
        with closing(socket.create_connection((HOST, port), timeout=1)):
            return True
    return False


@contextmanager
def noted(desk: Desk) -> Iterator[None]:
    """While this lasts, another desk of the same studio is told of this one."""
    told = {"process": os.getpid(), "port": desk.port, "address": f"http://{HOST}:{desk.port}/"}
    keep(_note(desk.folder), json.dumps(told).encode())
    try:
        yield
    finally:
        forget(_note(desk.folder))


def until_ended(wait: Callable[[], object]) -> None:
    """Wait until the terminal says so (Ctrl-C, or its end); what comes after that is let by."""
    ends = [
        getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)
    ]

    def end(*_: object) -> None:
        for each in ends:
            signal.signal(each, signal.SIG_IGN)
        raise KeyboardInterrupt

    for each in ends:
        signal.signal(each, end)
    with suppress(KeyboardInterrupt):
        wait()
