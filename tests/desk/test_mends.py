"""What a reading of the desk found, and how it is mended: small tests, each of one thing."""

from __future__ import annotations

import signal
import socket
import time
from functools import partial
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

import pytest

from provenance.desk import answers, asking, serving
from provenance.desk.door import door
from provenance.desk.saving import save, text_of, typed
from provenance.desk.serving import address, noted, refuse_second
from provenance.desk.today import Thing, _told
from provenance.language.phrases import british
from provenance.problems import Said, Slip
from provenance.workers import workers
from tests.desk.open_desk import PIECE, STUDIO, Asker, open_desk

NAME = "2026-001-ebb.yaml"


@pytest.fixture
def asker(tmp_path: Path, write_studio_in, cache):  # type: ignore[no-untyped-def]
    with open_desk(write_studio_in(tmp_path / "pieces", STUDIO)) as found:
        yield found


def test_who_writes_while_we_answer_is_told(asker: Asker, monkeypatch: Any) -> None:
    mine, theirs = PIECE.replace("120", "130"), PIECE.replace("120", "150")

    def overtaken(folder: Path, name: str, text: str, digest: str) -> bytes:
        written = save(folder, name, text, digest)
        (folder / name).write_text(theirs)
        return written

    monkeypatch.setattr(answers, "save", overtaken)
    sent = {"path": NAME, "text": mine, "digest": asker.read()["digest"]}
    status, told = asker.post("/save", sent)
    assert (status, told["theirs"]) == (409, theirs)
    assert told["digest"] == asker.read()["digest"]


@pytest.mark.parametrize(
    ("before", "text", "after"),
    [
        (b"a: 1\rb: 2\nc: 3\n", "a: 1\nb: 2\nc: 4\n", b"a: 1\rb: 2\nc: 4\n"),
        (b"a: 1\rb: 2\nc: 3\n", "a: 9\nb: 2\nc: 3\n", b"a: 9\rb: 2\nc: 3\n"),
        (b"a: 1\r\r\nb: 2\n", "a: 1\n\nb: 3\n", b"a: 1\r\r\nb: 3\n"),
        (b"a: 1\rb: 2\r", "a: 1\nnew: 0\nb: 2\n", b"a: 1\rnew: 0\rb: 2\r"),
    ],
)
def test_a_lone_return_stays(before: bytes, text: str, after: bytes) -> None:
    assert typed(text, before) == after
    assert typed(text_of(before), before) == before
    assert "\r" not in text_of(before)


def test_the_browser_is_called_without_the_key(asker: Asker) -> None:
    desk = asker.desk
    with door(desk, address(desk, desk.opening)) as way_in:
        assert desk.opening not in way_in
        page = Path(unquote(urlsplit(way_in).path))
        assert page.stat().st_mode & 0o777 == 0o600
        assert page.parent.stat().st_mode & 0o777 == 0o700
        assert f"0; url={address(desk, desk.opening)}" in page.read_text()
        assert "<script" not in page.read_text()
        assert (
            asker.ask("GET", f"/?desk={desk.opening}", {"Sec-Fetch-Site": "cross-site"})[0] == 200
        )
        assert not page.exists()
    assert not page.parent.exists()


def test_the_page_that_led_here_is_gone_when_the_desk_ends(asker: Asker) -> None:
    with door(asker.desk, address(asker.desk)) as way_in:
        page = Path(unquote(urlsplit(way_in).path))
        assert page.is_file()
    assert not page.parent.exists()


def test_who_comes_from_a_file_is_let_in_by_a_page_of_ours(asker: Asker) -> None:
    """A strict cookie is not sent along a way that began elsewhere (RFC 6265bis 5.2)."""
    foreign = {"Sec-Fetch-Site": "cross-site"}
    status, told, content = asker.ask("GET", f"/?desk={asker.desk.opening}", foreign)
    assert status == 200
    assert "SameSite=Strict" in told["set-cookie"]
    assert b'content="0; url=/"' in content
    assert asker.desk.token.encode() not in content
    for key in ("", "wrong", asker.desk.opening):
        status, told, _ = asker.ask("GET", f"/?desk={key}", foreign)
        assert (status, "set-cookie" in told) == (403, False)
    assert asker.get("/", **foreign)[0] == 403


def _of_another_user(lines: Any) -> Any:
    def told() -> Any:
        for line in lines():
            words = line.split()
            yield " ".join([*words[:7], "54321", *words[8:]])

    return told


def test_another_user_with_our_cookie_gets_nothing(asker: Asker, monkeypatch: Any) -> None:
    assert asker.get(f"/read/{NAME}")[0] == 200
    if not Path(asking._TABLES[0]).exists():
        pytest.skip("this system does not tell who asks")
    monkeypatch.setattr(asking, "_lines", _of_another_user(asking._lines))
    with pytest.raises(OSError):
        asker.get(f"/read/{NAME}")
    monkeypatch.undo()
    assert asker.get(f"/read/{NAME}")[0] == 200


def test_whose_an_end_is_stands_in_the_table(monkeypatch: Any) -> None:
    mine = "0: 0100007F:1F90 0100007F:1F91 01 0:0 00:0 0 {} 0 77"
    mapped = (
        f"0: {'0' * 16}FFFF00000100007F:1F90 {'0' * 16}FFFF00000100007F:1F91 01 0:0 00:0 0 {{}} 0"
    )
    ends = (("127.0.0.1", 8080), ("127.0.0.1", 8081))
    monkeypatch.setattr(asking.os, "getuid", lambda: 1000)
    monkeypatch.setattr(asking.sys, "byteorder", "little")
    for line in (mine, mapped):
        for uid, is_foreign in (("1000", False), ("0", False), ("1001", True)):
            monkeypatch.setattr(asking, "_lines", partial(iter, [line.format(uid)]))
            assert asking.is_of_another(*ends) is is_foreign
    assert asking.is_of_another(ends[1], ends[0]) is False  # our own end


def _signals() -> list[int]:
    names = ("SIGTERM", "SIGHUP", "SIGINT")
    return [int(signal.getsignal(getattr(signal, name))) for name in names]  # type: ignore[arg-type]


def test_workers_have_no_handlers_of_the_parent() -> None:
    before = signal.signal(signal.SIGTERM, lambda *_: None)
    try:
        with workers(1) as pool:
            found = pool.submit(_signals).result()
    finally:
        signal.signal(signal.SIGTERM, before)
    assert found == [int(signal.SIG_DFL), int(signal.SIG_DFL), int(signal.SIG_IGN)]


def test_workers_end_at_once_where_the_parent_is_stopped() -> None:
    began = time.monotonic()
    with pytest.raises(KeyboardInterrupt), workers(1) as pool:
        sleeping = pool.submit(time.sleep, 60)
        pool.submit(int)
        raise KeyboardInterrupt
    assert sleeping.exception(timeout=20) is not None
    assert time.monotonic() - began < 20


@pytest.mark.parametrize(
    ("size", "is_taken"), [(64_000_000 * 4 // 3 + 200, True), (85_400_000, False)]
)
def test_a_photo_of_64_mb_may_be_sent(asker: Asker, size: int, *, is_taken: bool) -> None:
    """Held against its length alone: where it is taken the desk reads on."""
    lines = "".join(f"{word}: {text}\r\n" for word, text in asker.writing.items())
    head = f"POST /photos HTTP/1.1\r\nHost: {asker.host}\r\n{lines}Content-Length: {size}\r\n\r\n"
    with socket.create_connection(("127.0.0.1", asker.desk.port), timeout=30) as line:
        line.sendall(head.encode())
        line.shutdown(socket.SHUT_WR)
        answer = b"".join(iter(lambda: line.recv(65536), b"")).decode()
    refused = "This is too large: a photo may have 64 MB, anything else 2 MB."
    assert (refused in answer) is not is_taken
    assert int(answer.split(" ", 2)[1]) == (400 if is_taken else 413)  # 400: nothing came after it


def test_a_second_desk_is_told_where_the_key_is(asker: Asker, monkeypatch: Any) -> None:
    monkeypatch.setattr(serving, "_is_there", lambda *_: True)
    with noted(asker.desk):
        monkeypatch.setattr(serving.os, "getpid", lambda: 1)
        with pytest.raises(Slip) as refused:
            refuse_second(asker.desk.folder)
    assert british().tell(refused.value.what) == (
        f"a desk for this studio is open at http://{asker.host}/ in another terminal, and there "
        "stands the address with its key, which lets a browser in"
    )
    assert asker.desk.key not in british().tell(refused.value.what)


def test_what_the_desk_does_not_save_says_so(asker: Asker) -> None:
    name = "studio/keys.yaml"
    (asker.desk.folder / name).write_text("{}\n")
    assert asker.read(name)["read only"] is True
    assert asker.read()["read only"] is False
    sent = {"path": name, "text": "x", "digest": asker.read(name)["digest"]}
    assert asker.post("/save", sent)[0] == 400


def test_what_is_done_in_the_terminal_says_so() -> None:
    what, phrases = Said("desk_hands.owed", outlet="", money="£4", number="1", on=""), british()
    plain = _told(Thing("sell", what), phrases)["words"]
    there = _told(Thing("sell", what, command="pieces ask"), phrases)
    assert (there["words"], there["command"]) == (f"{plain} – in the terminal:", "pieces ask")
    here = _told(Thing("sell", what, command="sell 1", deed=("sell", "1")), phrases)
    assert here["words"] == plain
