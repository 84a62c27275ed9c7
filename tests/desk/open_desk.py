"""A desk that is open for a test: its own server on this machine, and raw ways to ask it."""

from __future__ import annotations

import http.client
import json
import os
import socket
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from provenance.desk.desk import Desk
from provenance.desk.serving import served

DAY = date(2026, 11, 25)
PIECE = (
    "number: 2026-001\ntitle: Ebb\nkind: scarf\nsize: 180 x 30 cm\nweight: 200 g\n"
    "yarns:\n  - {use: warp, lot: grey, weight: 200 g}\nhours: {weaving: 4}\nprice: 120\n"
)
STUDIO = {
    "studio/studio.yaml": "studio: Brackenfold\nmaker: Isla Wren\ncurrency: GBP\n"
    "pay: {any: 18.00}\nlabels for: [UK]\n",
    "studio/yarns.yaml": "grey: {fibre: wool, weight: 900 g, cost: 40.00}\n",
    "2026-001-ebb.yaml": PIECE,
    "pages/about.md": "Weaving above the tide.\n",
}


@dataclass
class Asker:
    """Asks an open desk, as a browser that was let in or as anybody."""

    desk: Desk

    @property
    def host(self) -> str:
        return f"127.0.0.1:{self.desk.port}"

    @property
    def own(self) -> dict[str, str]:
        """What a browser that was let in sends along."""
        return {"Cookie": f"desk-{self.desk.port}={self.desk.cookie}"}

    @property
    def writing(self) -> dict[str, str]:
        """What a page of the desk sends along when it writes."""
        return {**self.own, "Origin": f"http://{self.host}", "X-Desk": self.desk.token,
                "Content-Type": "application/json", "Sec-Fetch-Site": "same-origin"}  # fmt: skip

    def get(self, path: str, **headers: str) -> tuple[int, dict[str, str], bytes]:
        return self.ask("GET", path, {**self.own, **headers})

    def post(self, path: str, body: Any, **changed: str) -> tuple[int, Any]:
        status, _, content = self.ask("POST", path, self.writing | changed, json.dumps(body))
        return status, json.loads(content)

    def ask(
        self, method: str, path: str, headers: dict[str, str], body: str | None = None
    ) -> tuple[int, dict[str, str], bytes]:
        line = http.client.HTTPConnection("127.0.0.1", self.desk.port, timeout=30)
        try:
            line.request(method, path, body, headers)
            answer = line.getresponse()
            told = {word.lower(): value for word, value in answer.getheaders()}
            return answer.status, told, answer.read()
        finally:
            line.close()

    def raw(self, text: str) -> str:
        """What comes back for these very bytes."""
        with socket.create_connection(("127.0.0.1", self.desk.port), timeout=30) as line:
            line.sendall(text.encode("latin-1"))
            parts = []
            while part := line.recv(65536):
                parts.append(part)
        return b"".join(parts).decode("utf-8", "replace")

    def read(self, name: str = "2026-001-ebb.yaml") -> Any:
        return json.loads(self.get(f"/read/{name}")[2])


@contextmanager
def open_desk(folder: Path, *, only_look: bool = False, site: Path | None = None) -> Iterator[Asker]:
    """A desk on any free port; what takes long is made in a thread of this process."""
    with ThreadPoolExecutor(2) as pool:
        desk = Desk(folder, lambda: DAY, pool, only_look=only_look, site=site)
        with served(desk, 0):
            yield Asker(desk)


def everything(folder: Path) -> dict[str, bytes]:
    """Every file of a folder; the lock says who was at work last."""
    paths = (Path(home) / name for home, _, names in os.walk(folder) for name in names)
    return {str(path): path.read_bytes() for path in paths if path.name != ".provenance.lock"}
