"""A hostile page in Chromium, on another port of this machine and under a foreign name that leads
to it: it writes nothing and reads nothing."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import sync_playwright
from tests.desk.open_desk import STUDIO, Asker, everything, open_desk
from tests.in_chromium import CHROMIUM, FLAGS, skip_without_chromium

skip_without_chromium()

TRIES = """async ([desk, body]) => {
  const got = [], tried = async (name, work) => {
    try { const found = await work(); if (found) got.push(`${name}: ${found}`) } catch {}
  }
  const text = answer => answer.type === "opaque" ? "" : answer.text()
  const once = (element, address) => new Promise(done => {
    element.onload = () => done("loaded"); element.onerror = () => done("")
    setTimeout(() => done(""), 3000)
    element.src = address; document.body.append(element)
  })
  await tried("fetch", async () => text(await fetch(`${desk}/read/2026-001-ebb.yaml`, {credentials: "include"})))
  await tried("no-cors", async () => text(await fetch(`${desk}/save`, {method: "POST", mode: "no-cors", credentials: "include", body})))
  await tried("cors", async () => text(await fetch(`${desk}/save`, {method: "POST", credentials: "include", body, headers: {"Content-Type": "application/json", "X-Desk": "guess"}})))
  await tried("image", () => once(new Image(), `${desk}/see/tag/2026-001.png`))
  await tried("script", () => once(document.createElement("script"), `${desk}/face/words.js`))
  await tried("socket", () => new Promise(done => {
    const socket = new WebSocket(desk.replace("http", "ws") + "/stream")
    socket.onopen = () => done("open"); socket.onerror = () => done("")
  }))
  await tried("frame", async () => {
    const frame = document.createElement("iframe")
    await once(frame, `${desk}/`)
    return frame.contentDocument?.body?.textContent
  })
  await tried("window", async () => {
    const opened = window.open(`${desk}/read/2026-001-ebb.yaml`)
    await new Promise(done => setTimeout(done, 500))
    return opened?.document?.body?.textContent
  })
  const form = document.createElement("form")
  form.method = "POST"; form.enctype = "text/plain"; form.action = `${desk}/save`; form.target = "sent"
  const field = document.createElement("input")
  field.name = body; form.append(field); document.body.append(form); form.submit()
  await new Promise(done => setTimeout(done, 500))
  return got
}"""


class _Hostile(BaseHTTPRequestHandler):
    def do_GET(self) -> None:
        self.send_response(200)
        self.send_header("Content-Type", "text/html")
        self.end_headers()
        self.wfile.write(b"<!doctype html><title>Hostile</title><body>")

    def log_message(self, *_: Any) -> None:
        """Nothing is told."""


@contextmanager
def _hostile() -> Iterator[int]:
    server = ThreadingHTTPServer(("127.0.0.1", 0), _Hostile)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield server.server_address[1]
    server.shutdown()
    server.server_close()


@pytest.fixture
def asker(tmp_path: Path, write_studio_in, cache):  # type: ignore[no-untyped-def]
    with open_desk(write_studio_in(tmp_path / "pieces", STUDIO)) as found:
        yield found


def test_a_hostile_page_reads_and_writes_nothing(asker: Asker) -> None:
    """The browser was let in: its cookie is there to be misused. Also under a name that is made to
    lead here (DNS rebinding), and no page of the desk asks anybody else for anything."""
    before, digest = everything(asker.desk.folder), asker.read()["digest"]
    body = f'{{"path": "2026-001-ebb.yaml", "text": "stolen", "digest": "{digest}"}}'
    with sync_playwright() as play, _hostile() as port:
        rules = "--host-resolver-rules=MAP evil.example 127.0.0.1"
        opened = play.chromium.launch(executable_path=CHROMIUM, args=[*FLAGS, rules])
        context = opened.new_context()
        page, asked = context.new_page(), list[str]()
        page.on("request", lambda request: asked.append(request.url))
        page.goto(f"http://{asker.host}/?desk={asker.desk.key}")
        page.goto(f"http://{asker.host}/at/2026-001-ebb.yaml", wait_until="domcontentloaded")
        assert "Ebb" in page.content()
        assert [url for url in asked if not url.startswith(f"http://{asker.host}/")] == []
        page.close()
        for home in (f"http://127.0.0.1:{port}", f"http://evil.example:{port}"):
            page = context.new_page()
            page.goto(home)
            for desk in (f"http://{asker.host}", f"http://evil.example:{asker.desk.port}"):
                assert page.evaluate(TRIES, [desk, body]) == []
            page.close()
        page = context.new_page()
        page.goto(f"http://evil.example:{asker.desk.port}/read/2026-001-ebb.yaml")
        assert "Ebb" not in page.content()
        opened.close()
    assert everything(asker.desk.folder) == before
