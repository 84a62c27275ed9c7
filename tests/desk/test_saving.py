"""What is typed at the desk is written as an editor would, and seen again at once."""

from __future__ import annotations

import http.client
import json
import os
import threading
from pathlib import Path

import pytest

from tests.desk.open_desk import PIECE, STUDIO, Asker, open_desk

NAME = "2026-001-ebb.yaml"


@pytest.fixture
def asker(tmp_path: Path, write_studio_in, cache):  # type: ignore[no-untyped-def]
    with open_desk(write_studio_in(tmp_path / "pieces", STUDIO)) as found:
        yield found


def _save(asker: Asker, text: str, name: str = NAME) -> tuple[int, dict]:  # type: ignore[type-arg]
    return asker.post("/save", {"path": name, "text": text, "digest": asker.read(name)["digest"]})


def test_what_was_typed_is_written_and_nothing_else(asker: Asker) -> None:
    path = asker.desk.folder / NAME
    path.chmod(0o640)
    text = PIECE.replace("Ebb", "Flood")
    status, told = _save(asker, text)
    assert (status, told["title"], told["numbers"]) == (200, "Flood", ["2026-001"])
    assert path.read_bytes() == text.encode()
    assert path.stat().st_mode & 0o777 == 0o640


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_ends_of_lines_and_the_mark_stay(asker: Asker, mark: bytes) -> None:
    path = asker.desk.folder / NAME
    path.write_bytes(mark + PIECE.replace("\n", "\r\n").encode())
    asker.desk.look()
    assert asker.read()["text"] == PIECE
    assert _save(asker, PIECE.replace("title", "story: Low water.\ntitle"))[0] == 200
    wanted = PIECE.replace("title", "story: Low water.\ntitle").replace("\n", "\r\n")
    assert path.read_bytes() == mark + wanted.encode()


def test_lines_with_either_end_keep_their_own(asker: Asker) -> None:
    path = asker.desk.folder / NAME
    path.write_bytes(PIECE.encode().replace(b"title: Ebb\n", b"title: Ebb\r\n"))
    asker.desk.look()
    assert _save(asker, PIECE.replace("price: 120", "price: 130"))[0] == 200
    wanted = PIECE.replace("price: 120", "price: 130").encode()
    assert path.read_bytes() == wanted.replace(b"title: Ebb\n", b"title: Ebb\r\n")


def test_what_was_changed_elsewhere_is_not_written_over(asker: Asker) -> None:
    read = asker.read()
    theirs = PIECE.replace("120", "150")
    (asker.desk.folder / NAME).write_text(theirs)
    sent = {"path": NAME, "text": "mine", "digest": read["digest"]}
    status, told = asker.post("/save", sent)
    assert (status, told["theirs"]) == (409, theirs)
    assert (asker.desk.folder / NAME).read_text() == theirs
    assert asker.post("/save", {**sent, "digest": told["digest"]})[0] == 200


def test_a_link_inside_the_folder_is_followed(asker: Asker) -> None:
    folder = asker.desk.folder
    (folder / "pages" / "kept.txt").write_text(PIECE)
    (folder / NAME).unlink()
    (folder / NAME).symlink_to("pages/kept.txt")
    asker.desk.look()
    assert _save(asker, PIECE.replace("120", "130"))[0] == 200
    assert (folder / NAME).is_symlink()
    assert "price: 130" in (folder / "pages" / "kept.txt").read_text()


def test_a_mistake_stands_at_its_line_and_the_last_good_one_stays(asker: Asker) -> None:
    good = asker.get("/see/cost/2026-001")
    status, told = _save(asker, PIECE.replace("lot: grey", "lot: gray"))
    assert status == 200
    assert told["last_good"] is True
    (problem,) = [each for each in told["problems"] if each["mistake"]]
    assert (problem["line"], problem["column"], problem["length"]) == (7, 22, 4)
    assert "gray" in problem["words"]
    assert "grey" in problem["remedy"]
    after = asker.get("/see/cost/2026-001")
    assert after[1]["x-seen"] == "last-good"
    assert after[2] == good[2]


def test_a_file_that_is_no_yaml_is_still_read(asker: Asker) -> None:
    good = asker.get("/see/ribbons/2026-001")
    status, told = _save(asker, "title: {\n")
    assert status == 200
    assert told["text"] == "title: {\n"
    assert [each for each in told["problems"] if each["mistake"]]
    after = asker.get("/see/ribbons/2026-001")
    assert (after[0], after[1]["x-seen"], after[2]) == (200, "last-good", good[2])


def test_a_mistake_in_another_piece_holds_nothing_up(asker: Asker) -> None:
    (asker.desk.folder / "2026-002-x.yaml").write_text("number: 2026-002\ntitel: Wrong\n")
    asker.desk.look()
    assert asker.read()["others"] > 0
    assert "x-seen" not in asker.get("/see/cost/2026-001")[1]


@pytest.mark.parametrize("way", ["truncate", "replace", "in place"])
def test_every_way_that_editors_save_is_noticed(asker: Asker, way: str) -> None:
    asker.read()
    line = http.client.HTTPConnection("127.0.0.1", asker.desk.port, timeout=30)
    line.request("GET", f"/stream?at={NAME}", headers=asker.own)
    stream = line.getresponse()
    assert stream.readline() == b"retry: 1000\n"
    path, text = asker.desk.folder / NAME, PIECE.replace("Ebb", "Flood")
    if way == "truncate":
        with path.open("w") as file:
            file.flush()
            os.fsync(file.fileno())
            file.write(text)
    elif way == "replace":
        (path.parent / "beside~").write_text(text)
        (path.parent / "beside~").replace(path)
    else:
        path.write_text(text)
    while not (told := stream.readline()).startswith(b"data: "):
        pass
    assert json.loads(told[6:])["title"] == "Flood"
    line.close()


def test_a_touch_without_a_change_is_no_news(asker: Asker) -> None:
    count = asker.read()["count"]
    os.utime(asker.desk.folder / NAME)
    assert asker.desk.look() is False
    assert asker.read()["count"] == count


def test_a_folder_put_in_place_of_the_watched_one_is_watched(asker: Asker) -> None:
    asker.read()
    folder, news = asker.desk.folder, threading.Event()
    turns = asker.desk.tabs.listen(30)

    def wait() -> None:
        next(turns)
        news.set()

    threading.Thread(target=wait, daemon=True).start()
    folder.rename(folder.with_name("before"))
    for name, text in {**STUDIO, NAME: PIECE.replace("Ebb", "Flood")}.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text)
    assert news.wait(20)
    asker.desk.look()
    assert asker.read()["title"] == "Flood"


def test_before_there_is_a_studio_the_desk_says_what_to_do(tmp_path: Path, cache: Path) -> None:
    with open_desk(tmp_path / "pieces") as asker:
        status, told, content = asker.get("/")
        assert status == 400
        assert told["content-type"].startswith("text/html")
        assert "start studio" in content.decode()
