"""The guards of the desk, attacked by raw requests: all are refused, and nothing is written."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote

import pytest
from tests.desk.open_desk import STUDIO, Asker, everything, open_desk


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory, write_studio_in, cache) -> Iterator[Asker]:  # type: ignore[no-untyped-def]
    home = tmp_path_factory.mktemp("desk")
    folder = write_studio_in(home / "pieces", STUDIO)
    (home / "secret.yaml").write_text("private: words\n")
    (folder / ".hidden.yaml").write_text("hidden: words\n")
    (folder / "out.yaml").symlink_to(home / "secret.yaml")
    (folder / "photos").mkdir()
    (folder / "photos" / "note.yaml").write_text("no: record\n")
    with open_desk(folder) as asker:
        before = everything(folder)
        yield asker
        assert everything(folder) == before


def _request(desk: Asker, first: str, *lines: str, body: str = "") -> str:
    head = "\r\n".join([first, *lines, f"Cookie: {desk.own['Cookie']}"])
    return desk.raw(f"{head}\r\n\r\n{body}")


def _status(answer: str) -> int:
    return int(answer.split(" ", 2)[1])


@pytest.mark.parametrize(
    "lines",
    [
        ("Host: evil.example",),
        ("Host: rebound.example:{port}",),
        ("Host: 127.0.0.1",),
        ("Host: 127.0.0.1:1",),
        ("Host: 127.0.0.1.:{port}",),
        ("Host: 0.0.0.0:{port}",),
        ("Host: [::1]:{port}",),
        ("Host: LOCALHOST.example:{port}",),
        ("Host: 127.0.0.1:{port}", "Host: evil.example"),
        (),
    ],
)
def test_another_name_is_not_ours(desk: Asker, lines: tuple[str, ...]) -> None:
    told = [line.format(port=desk.desk.port) for line in lines]
    for path in ("/", "/read/2026-001-ebb.yaml", "/face/desk.css"):
        answer = _request(desk, f"GET {path} HTTP/1.1", *told)
        assert _status(answer) == 421
        assert "Ebb" not in answer


def test_our_two_names_are(desk: Asker) -> None:
    for name in ("127.0.0.1", "localhost"):
        answer = _request(
            desk, "GET /read/2026-001-ebb.yaml HTTP/1.1", f"Host: {name}:{desk.desk.port}"
        )
        assert _status(answer) == 200
        assert "Ebb" in answer


@pytest.mark.parametrize(
    "target", ["http://127.0.0.1:{port}/read/2026-001-ebb.yaml", "//evil.example/", "http://evil/"]
)
def test_a_target_is_a_path(desk: Asker, target: str) -> None:
    answer = _request(
        desk, f"GET {target.format(port=desk.desk.port)} HTTP/1.1", f"Host: {desk.host}"
    )
    assert _status(answer) in (400, 404, 421)
    assert "Ebb" not in answer


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "HEAD", "PATCH", "TRACE", "CONNECT"])
def test_other_methods_are_refused(desk: Asker, method: str) -> None:
    answer = _request(desk, f"{method} /save HTTP/1.1", f"Host: {desk.host}")
    assert _status(answer) == 405
    assert "Access-Control" not in answer


def test_who_reads_sends_nothing_along(desk: Asker) -> None:
    answer = _request(
        desk, "GET / HTTP/1.1", f"Host: {desk.host}", "Content-Length: 5", body="hello"
    )
    assert _status(answer) == 400


@pytest.mark.parametrize("cookie", ["", "desk=x", "desk-{port}=", "desk-{port}=wrong"])
def test_a_browser_that_was_not_let_in_reads_nothing(desk: Asker, cookie: str) -> None:
    sent = {"Cookie": cookie.format(port=desk.desk.port)}
    for path in ("/", "/read/2026-001-ebb.yaml", "/see/cost/2026-001", "/?desk=wrong", "/stream"):
        status, _, content = desk.ask("GET", path, sent)
        assert status == 403
        assert b"Ebb" not in content
        assert desk.desk.token.encode() not in content


def test_the_address_of_the_terminal_lets_in(desk: Asker) -> None:
    status, told, _ = desk.ask("GET", f"/?desk={desk.desk.key}", {})
    assert (status, told["location"]) == (303, "/")
    assert "HttpOnly" in told["set-cookie"]
    assert "SameSite=Strict" in told["set-cookie"]
    assert desk.ask("GET", f"/pieces?desk={desk.desk.key}", {})[0] == 403


def test_what_others_may_have_seen_lets_in_once(desk: Asker) -> None:
    opening = desk.desk.opening
    assert desk.ask("GET", f"/?desk={opening}", {})[0] == 303
    assert desk.ask("GET", f"/?desk={opening}", {})[0] == 403
    assert desk.ask("GET", "/?desk=", {})[0] == 403


@pytest.mark.parametrize("site", ["cross-site", "same-site", "nonsense"])
def test_another_page_reads_nothing(desk: Asker, site: str) -> None:
    assert desk.get("/read/2026-001-ebb.yaml", **{"Sec-Fetch-Site": site})[0] == 403


@pytest.mark.parametrize(
    ("changed", "status"),
    [
        ({"Origin": "http://evil.example"}, 403),
        ({"Origin": "null"}, 403),
        ({"Origin": ""}, 403),
        ({"Origin": "http://127.0.0.1:1"}, 403),
        ({"Origin": "http://localhost:{port}"}, 403),  # Host says 127.0.0.1
        ({"Origin": "https://127.0.0.1:{port}"}, 403),
        ({"Sec-Fetch-Site": "cross-site"}, 403),
        ({"Sec-Fetch-Site": "same-site"}, 403),
        ({"X-Desk": ""}, 403),
        ({"X-Desk": "of-another-run"}, 403),
        ({"Cookie": "desk-1=x"}, 403),
        ({"Content-Type": "text/plain"}, 415),
        ({"Content-Type": "application/x-www-form-urlencoded"}, 415),
        ({"Content-Type": "text/plain; application/json"}, 415),
        ({"Content-Type": ""}, 415),
        ({"Transfer-Encoding": "chunked"}, 411),
        ({"Content-Length": "9" * 10}, 413),
        ({"Content-Length": "2000001"}, 413),
        ({"Content-Length": "-1"}, 411),
    ],
)
def test_nothing_is_written_for_others(desk: Asker, changed: dict[str, str], status: int) -> None:
    read = desk.read()
    body = json.dumps({"path": read["path"], "text": "stolen", "digest": read["digest"]})
    sent = {**desk.writing, "Content-Length": str(len(body))}
    sent |= {word: text.format(port=desk.desk.port) for word, text in changed.items()}
    lines = "".join(f"{word}: {text}\r\n" for word, text in sent.items() if text)
    answer = desk.raw(f"POST /save HTTP/1.1\r\nHost: {desk.host}\r\n{lines}\r\n{body}")
    assert _status(answer) == status
    assert desk.read()["digest"] == read["digest"]


def test_what_is_endless_is_cut_off(desk: Asker) -> None:
    """Chunks without end are refused at once, whatever still comes."""
    lines = "".join(f"{word}: {text}\r\n" for word, text in desk.writing.items())
    head = f"POST /save HTTP/1.1\r\nHost: {desk.host}\r\n{lines}Transfer-Encoding: chunked\r\n\r\n"
    assert _status(desk.raw(head + "ffff\r\n" + "x" * 65000)) == 411


@pytest.mark.parametrize("body", ["", "[]", "{", '"text"', "1", "[" * 5000])
def test_only_a_mapping_is_taken(desk: Asker, body: str) -> None:
    status, _, _ = desk.ask("POST", "/save", desk.writing, body)
    assert status in (400, 411)


OUT = [
    "../secret.yaml", "..%2fsecret.yaml", "%2e%2e/secret.yaml", "%2e%2e%2fsecret.yaml",
    "studio/../../secret.yaml", "..%5csecret.yaml", "..\\secret.yaml", "%252e%252e%252fsecret.yaml",
    "%c0%ae%c0%ae/secret.yaml", "/etc/passwd", "%2fetc%2fpasswd", "file:///etc/passwd",
    "2026-001-ebb.yaml%00.md", "2026-001-ebb.yaml/", "./2026-001-ebb.yaml", ".hidden.yaml",
    "studio/.hidden.yaml", "out.yaml", "photos/note.yaml", "papers/x.pdf", "", "studio",
    "2026-001-ebb.yaml::$DATA", "studio//studio.yaml",
]  # fmt: skip


@pytest.mark.parametrize("name", OUT)
def test_no_path_leads_out(desk: Asker, name: str) -> None:
    for room in ("/read/", "/at/", "/see/site/", "/face/"):
        answer = _request(desk, f"GET {room}{name} HTTP/1.1", f"Host: {desk.host}")
        assert _status(answer) in (400, 404, 308), (room, name)
        assert "private: words" not in answer
        assert "hidden: words" not in answer
        assert "root:" not in answer


@pytest.mark.parametrize("name", ["../secret.yaml", "out.yaml", ".hidden.yaml", "new.yaml",
                                  "photos/note.yaml", "studio/printed.yaml"])  # fmt: skip
def test_nothing_else_is_written(desk: Asker, name: str) -> None:
    status, told = desk.post("/save", {"path": name, "text": "stolen", "digest": "0" * 64})
    assert status in (400, 404)
    assert told["what"]


def test_no_header_is_slipped_in(desk: Asker) -> None:
    for path in ("/see/page/x%0d%0aSet-Cookie:%20a=b/", "/at/%0d%0aX-Evil:%201"):
        answer = _request(desk, f"GET {path} HTTP/1.1", f"Host: {desk.host}")
        head = answer.partition("\r\n\r\n")[0].lower()
        assert "\r\nset-cookie:" not in head
        assert "\r\nx-evil:" not in head


def test_every_answer_is_closed_to_others(desk: Asker) -> None:
    for path in ("/", "/read/2026-001-ebb.yaml", "/nowhere", "/face/desk.css"):
        _, told, _ = desk.get(path)
        assert told["x-content-type-options"] == "nosniff"
        assert told["cache-control"] == "no-store"
        assert told["cross-origin-resource-policy"] == "same-origin"
        assert told["referrer-policy"] == "no-referrer"
        assert "frame-ancestors 'none'" in told["content-security-policy"]
        assert "unsafe" not in told["content-security-policy"]
        assert not [word for word in told if word.startswith("access-control")]


def test_a_desk_to_look_at_takes_nothing(tmp_path: Path, write_studio_in, cache) -> None:  # type: ignore[no-untyped-def]
    folder = write_studio_in(tmp_path / "pieces", STUDIO)
    with open_desk(folder, only_look=True) as asker:
        before, read = everything(folder), asker.read()
        for path in ("/save", "/begin", "/photos", "/alt", "/deed", "/deed/do", "/undo", "/run"):
            body = {"path": read["path"], "text": "other", "digest": read["digest"]}
            assert asker.post(path, body)[0] == 403
        assert everything(folder) == before


def test_only_this_machine_is_answered(desk: Asker) -> None:
    """The server listens on 127.0.0.1 and nowhere else (/proc/net/tcp, Linux)."""
    lines = Path("/proc/net/tcp").read_text().splitlines()[1:]
    port = f"{desk.desk.port:04X}"
    listening = [line.split()[1] for line in lines if line.split()[3] == "0A"]
    assert [each for each in listening if each.endswith(f":{port}")] == [f"0100007F:{port}"]
    assert quote(desk.desk.key, safe="") == desk.desk.key  # it can be typed as it is told
