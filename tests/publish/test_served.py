"""Printed addresses, opened on a server of the test's own: what is told of each."""

from __future__ import annotations

import gzip
import http.server
import json
import ssl
import subprocess
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from provenance.publish.printed_addresses import printed_addresses
from provenance.publish.served import Opened, Served, kept_for, open_all
from provenance.publish.served_lines import served_data, served_lines
from provenance.publish.web import ask
from tests.publish.servers import need
from tests.publish.small_studio import PRINTED, border, facts, page, site, studio

Change = Callable[[str, dict[str, Any]], None]


@contextmanager
def serving(folder: Path, change: Change | None = None, tls: Path | None = None) -> Iterator[str]:
    """A server of a folder, as a good one is; `change` may spoil an answer (status, headers,
    content) by its path."""

    class Handler(http.server.BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            path = self.path.split("?")[0].lstrip("/")
            file = folder / (f"{path}index.html" if path.endswith("/") or not path else path)
            kind = {".html": "text/html; charset=utf-8", ".json": "application/json"}
            answer: dict[str, Any] = {
                "status": 200 if file.is_file() else 404,
                "content": file.read_bytes() if file.is_file() else b"gone",
                "headers": {"Content-Type": kind.get(file.suffix, "text/plain")},
                "packs": True,
            }
            if change:
                change(self.path, answer)
            if answer["packs"]:
                answer["content"] = gzip.compress(answer["content"])
                answer["headers"]["Content-Encoding"] = "gzip"
            self.send_response(answer["status"])
            for name, value in answer["headers"].items():
                self.send_header(name, value)
            self.send_header("Content-Length", str(len(answer["content"])))
            self.end_headers()
            self.wfile.write(answer["content"])

        def log_message(self, *_: Any) -> None:
            pass

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    if tls:
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(tls)
        server.socket = context.wrap_socket(server.socket, server_side=True)
    thread = threading.Thread(target=server.serve_forever, args=(0.01,), daemon=True)
    thread.start()
    try:
        yield f"http{'s' if tls else ''}://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        server.server_close()
        thread.join(10)


def opened(home: Path, lies: Path, at: str) -> tuple[Served, Opened]:
    """All, and the one printed address."""
    book = border(studio(home)).studio.book
    served = open_all(book, printed_addresses(book, lies), lies, at)
    (found,) = (each for each in served.opened if each.number)
    return served, found


def test_a_printed_address_answers_with_what_was_printed(tmp_path: Path) -> None:
    lies = site(tmp_path)
    with serving(lies) as at:
        served, found = opened(tmp_path, lies, at)
    assert served.is_well
    assert found == Opened(
        "2026-001", "https://old.brackenfold.example/2026-001/", f"{at}/2026-001/", "answers"
    )
    assert [each.opened for each in served.opened] == [f"{at}/", f"{at}/2026-001/"]
    way = border(studio(tmp_path))
    assert [way.phrases.tell(each) for each in served_lines(served, ())] == [
        "1 of 1 printed address answers as it should."
    ]


def test_another_page_behind_the_code_is_told(tmp_path: Path) -> None:
    """The page of another piece, an old price, a statement that was changed."""
    lies = site(tmp_path)
    other = site(
        tmp_path / "other",
        {
            "2026-001/index.html": page("2026-002", "Haws"),
            "2026-001/piece.json": facts("2026-001", "Ebb Tide", "£155"),
            "2026-001/certificate-1.json": '{"proof": {"forged": true}}',
        },
    )
    with serving(other) as at:
        served, found = opened(tmp_path, lies, at)
        told = [border(studio(tmp_path)).phrases.tell(each) for each in served_lines(served, ())]
    assert found.verdict == "other facts"
    assert not served.is_well
    assert [(each.word, each.printed, each.served) for each in found.differs] == [
        ("number (page)", "2026-001", "2026-002"),
        ("title (certificate)", "Ebb", "Haws"),
        ("title (tag)", "Ebb", "Haws"),
        ("title (certificate)", "Ebb", "Ebb Tide"),
        ("title (tag)", "Ebb", "Ebb Tide"),
        ("price (tag)", "£140", "£155"),
        ("title", "Ebb", "Ebb Tide"),
        ("price", "£140", "£155"),
        ("statement 1", "2026-001-1.json", "200"),
    ]
    assert told[:2] == [
        "https://old.brackenfold.example/2026-001/ answers with other facts "
        f"(opened as {at}/2026-001/)",
        "    number (page): 2026-001; served: 2026-002",
    ]
    assert told[-1] == "0 of 1 printed address answers as it should."


@pytest.mark.parametrize("status", [403, 404, 410, 500])
def test_a_page_that_is_not_there(tmp_path: Path, status: int) -> None:
    def gone(path: str, answer: dict[str, Any]) -> None:
        answer["status"] = status if "001" in path else answer["status"]

    lies = site(tmp_path)
    with serving(lies, gone) as at:
        served, found = opened(tmp_path, lies, at)
    assert (found.verdict, found.why) == ("not there", str(status))
    assert not served.is_well


def test_a_redirect_is_followed_within_the_studios_own(tmp_path: Path) -> None:
    def lead(path: str, answer: dict[str, Any]) -> None:
        if path == "/2026-001/":
            answer["status"], answer["headers"]["Location"] = 302, "/old/2026-001/?from=tag"
        elif path.startswith("/old/"):
            answer["status"] = 200
            answer["content"] = (
                (lies / path.split("?")[0].removeprefix("/old/")).read_bytes()
                if (not path.split("?")[0].endswith("/"))
                else (lies / "2026-001/index.html").read_bytes()
            )

    lies = site(tmp_path)
    with serving(lies, lead) as at:
        served, found = opened(tmp_path, lies, at)
    assert (found.verdict, found.led_to) == ("redirected", f"{at}/old/2026-001/?from=tag")
    assert served.is_well
    assert found.remarks == ("passing",)


def test_a_redirect_to_a_stranger_is_told_and_nobody_is_asked_there(tmp_path: Path) -> None:
    asked: list[str] = []

    def note(path: str, _: dict[str, Any]) -> None:
        asked.append(path)

    lies = site(tmp_path)
    with serving(lies, note) as stranger:

        def lead(path: str, answer: dict[str, Any]) -> None:
            if "001" in path:
                answer["status"], answer["headers"]["Location"] = 301, f"{stranger}/parked"

        with serving(lies, lead) as at:
            _, found = opened(tmp_path, lies, at)
    assert (found.verdict, found.led_to) == ("elsewhere", f"{stranger}/parked")
    assert asked == []


def test_a_circle_of_redirects_ends(tmp_path: Path) -> None:
    def lead(path: str, answer: dict[str, Any]) -> None:
        if "001" in path:
            answer["status"], answer["headers"]["Location"] = 301, path

    lies = site(tmp_path)
    with serving(lies, lead) as at:
        _, found = opened(tmp_path, lies, at)
    assert (found.verdict, found.why) == ("elsewhere", "loop")


def test_a_server_that_does_not_answer(tmp_path: Path) -> None:
    lies = site(tmp_path)
    with serving(lies) as at:
        pass
    served, found = opened(tmp_path, lies, at)
    assert found.verdict == "silent"
    assert "refused" in found.why
    assert not served.is_well


def test_a_certificate_that_is_not_valid(tmp_path: Path) -> None:
    """Signed by itself, for another name."""
    pem = tmp_path / "tls.pem"
    words = "req -x509 -newkey ec -pkeyopt ec_paramgen_curve:P-256 -nodes -subj /CN=o.example"
    out = (*words.split(), "-days", "2", "-keyout", str(pem), "-out", f"{pem}c")
    subprocess.run([need("openssl"), *out], check=True, capture_output=True)
    pem.write_bytes(pem.read_bytes() + Path(f"{pem}c").read_bytes())
    lies = site(tmp_path)
    with serving(lies, tls=pem) as at:
        _, found = opened(tmp_path, lies, at)
    assert found.verdict == "tls"
    assert "self-signed" in found.why.replace("self signed", "self-signed")


def test_more_than_a_page_can_be_is_not_taken_in(tmp_path: Path) -> None:
    """A few kilobytes on the way that unpack to a hundred megabytes."""

    def large(path: str, answer: dict[str, Any]) -> None:
        answer["content"] = bytes(100_000_000) if "001" in path else answer["content"]

    lies = site(tmp_path)
    with serving(lies, large) as at:
        answer = ask(f"{at}/2026-001/", frozenset())
    assert (answer.fault, answer.content) == ("large", b"")


def test_how_a_server_hands_things_out(tmp_path: Path) -> None:
    def poor(path: str, answer: dict[str, Any]) -> None:
        answer["packs"] = False
        answer["headers"]["Content-Type"] = "text/plain; charset=iso-8859-1"
        if path == "/2026-001/":
            answer["headers"]["Cache-Control"] = "public, max-age=31536000, immutable"
            answer["content"] += b"<!-- counted -->" + b" " * 1400

    lies = site(tmp_path)
    with serving(lies, poor) as at:
        served, found = opened(tmp_path, lies, at)
        told = [border(studio(tmp_path)).phrases.tell(each) for each in served_lines(served, ())]
    assert found.verdict == "answers"
    assert found.remarks == (
        "kind_page",
        "kind_facts",
        "letters",
        "kept",
        "unpacked",
        "other_bytes",
    )
    assert told[0] == (
        "a page may be kept by browsers for more than an hour: a sale, a new price shows late "
        f"(Cache-Control: no-cache): {at}/2026-001/"
    )
    assert "a page is not sent as text/html: all pages" in told


def test_the_address_itself_is_opened_where_none_is_under_test(tmp_path: Path) -> None:
    lies = site(tmp_path)
    with serving(lies) as at:
        printed = PRINTED.replace("HTTPS://OLD.BRACKENFOLD.EXAMPLE", at.upper())
        book = border(studio(tmp_path, site=at, printed=printed)).studio.book
        served = open_all(book, printed_addresses(book, lies), lies)
        data = served_data(served, ())
    assert served.is_well
    assert [each.opened for each in served.opened] == [f"{at}/", f"{at}/2026-001/"]
    assert json.loads(json.dumps(data))["addresses"][1] == {
        "number": "2026-001", "address": f"{at}/2026-001/", "opened": f"{at}/2026-001/",
        "verdict": "answers", "led to": "", "why": "", "differs": [], "remarks": [],
    }  # fmt: skip


def test_what_only_the_site_knows_was_printed_is_opened_too(tmp_path: Path) -> None:
    lies = site(
        tmp_path,
        {".printed": f"1 {'a' * 32}\n2026-002 HTTPS://OLD.BRACKENFOLD.EXAMPLE/2026-002/\n"},
    )
    book = border(studio(tmp_path)).studio.book
    assert [(each.number, each.site) for each in printed_addresses(book, lies)] == [
        ("2026-001", "https://old.brackenfold.example"),
        ("2026-002", "https://old.brackenfold.example"),
    ]


@pytest.mark.parametrize(
    ("control", "seconds"),
    [("", 0), ("no-cache", 0), ("max-age=600", 600), ("max-age=60, s-maxage=86400", 86400),
     ("no-cache, max-age=86400", 0)],
)  # fmt: skip
def test_how_long_a_page_is_kept(control: str, seconds: int) -> None:
    assert kept_for(control) == seconds


def test_the_command_exits_as_it_went(tmp_path: Path, provenance: Callable[..., Any]) -> None:
    """0 where every code leads to its page, else 1; rules where the domain changed."""
    records = studio(tmp_path, site="https://brackenfold.example")
    words = ("--studio", str(records), "publish", "--check", "--json", "--at")
    with serving(site(tmp_path)) as at:
        well = provenance(tmp_path, *words, at)
        (tmp_path / "site" / "2026-001" / "index.html").unlink()
        wrong = provenance(tmp_path, *words, at)
    assert (well.returncode, well.stderr) == (0, "")
    told = json.loads(well.stdout)
    folder = tmp_path / "redirects" / "old.brackenfold.example"
    assert (told["well"], told["redirects"]) == (True, [str(folder)])
    assert (folder / "nginx.conf").is_file()
    assert wrong.returncode == 1
    assert [each["verdict"] for each in json.loads(wrong.stdout)["addresses"]] == [
        "answers",
        "not there",
    ]
    odd = provenance(tmp_path, *words, "file:///etc/passwd")
    assert odd.returncode == 2
    assert "'file:///etc/passwd' is no address" in odd.stderr
