"""What would lose copies, or lay them open: each is refused, told, or gone around."""

from __future__ import annotations

import errno
import hashlib
import os
from pathlib import Path
from types import SimpleNamespace

import pytest
from click.testing import CliRunner

from provenance.commands.main import main
from provenance.problems import Slip
from provenance.publish import copy_list, ready, restoring, second_place
from provenance.publish.copy_list import Entry
from provenance.publish.folder import FolderPlace
from provenance.publish.going_out import proposal
from provenance.publish.kept_apart import is_public
from provenance.publish.locked import KEY, Opens, Plain
from provenance.publish.manifest import Held, Manifest
from provenance.publish.refused import Refused
from provenance.publish.remembered import Remembered
from provenance.publish.restoring import restore
from provenance.records.publishing import S3, Host, Publishing, SecondPlace
from provenance.records.text import Written
from tests.publish.a_place import ADDRESS, write_site

NAUGHT = "0" * 64
LINE = f"files/{NAUGHT}\t{NAUGHT}\t1\t2026-11-27T00:00:00.000000001Z\t"


def second(folder: Path) -> SecondPlace:
    return SecondPlace(folder=Written(str(folder)))


@pytest.mark.parametrize("name", ["key.age", "RESTORE.txt", f"files/{NAUGHT}.jpg"])
def test_a_site_never_goes_where_copies_lie(tmp_path: Path, name: str) -> None:
    site = write_site(tmp_path / "site", {"index.html": b"<html>"})
    place = FolderPlace(tmp_path)
    place.put_manifest(Manifest({name: Held(NAUGHT, 1)}).to_bytes())
    with pytest.raises(Refused) as told:
        proposal(place, "there", site, ADDRESS)
    assert "publishing.copies_there" in repr(told.value.what)


def test_a_site_never_goes_to_the_second_place(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setattr(ready, "is_made_of", lambda studio, site: True)
    (tmp_path / "site").mkdir()
    (tmp_path / "site/.provenance-files").touch()
    told = {"folder": "../www", "second place": {"folder": "../www/copies"}}
    book = SimpleNamespace(publishing=Publishing.model_validate(told), folder=tmp_path / "pieces")
    with pytest.raises(Refused) as refused:
        ready.settings_for(SimpleNamespace(book=book), tmp_path / "site")
    assert "second_place.public" in repr(refused.value.what)


def test_a_lost_manifest_keeps_the_key_that_lies_there(tmp_path: Path, monkeypatch) -> None:
    """The scrypt of a new key is not run: none may be made."""
    monkeypatch.setattr(second_place, "new_key", None)
    monkeypatch.setattr(second_place, "open_key", lambda held, words: Held(f"{held!r}{words}", 0))
    monkeypatch.setattr(Held, "recipient", property(lambda held: held.digest), raising=False)
    (tmp_path / KEY).write_bytes(b"former")
    place, where = FolderPlace(tmp_path), second(tmp_path)
    _, now = second_place.way_of_storing(place, where, Remembered(), str, lambda: "words")
    assert (now.recipient, now.key) == ("b'former'words", "former")


def test_a_name_that_cannot_be_written_is_lost_alone(tmp_path: Path, monkeypatch) -> None:
    place, entries = stored(tmp_path / "there", "records/a.yaml", "records/b.yaml")
    lay = restoring._Coming._lay

    def odd(coming, whole: Path, entry: Entry) -> None:
        if entry.path.endswith("a.yaml"):
            raise OSError(number, os.strerror(number))
        lay(coming, whole, entry)

    monkeypatch.setattr(restoring._Coming, "_lay", odd)
    number = errno.EINVAL
    back = restore(place, Opens(), entries, tmp_path / "back", lambda *_: None)
    assert (back.lost, back.unwritten, back.files) == (("a.yaml",), ("a.yaml",), 1)
    assert (tmp_path / "back/b.yaml").is_file()
    number = errno.ENOSPC
    with pytest.raises(Slip):
        restore(place, Opens(), entries, tmp_path / "full", lambda *_: None)
    assert not (tmp_path / "full/b.yaml").exists()


def stored(folder: Path, *paths: str) -> tuple[FolderPlace, str]:
    """A plain copy without a manifest; the name of its list."""
    digest = hashlib.sha256(b"x").hexdigest()
    name = Plain().stored_as(digest, "x")
    (folder / "files").mkdir(parents=True)
    (folder / "lists").mkdir()
    (folder / name).write_bytes(b"x")
    listed = "lists/2026-11-27T000000Z.txt"
    entries = [Entry(name, digest, 1, 10**18, path) for path in paths]
    (folder / listed).write_bytes(copy_list.to_bytes(entries))
    return FolderPlace(folder), listed


@pytest.mark.parametrize(
    "words",
    ["--only-tell", "--json", "--site x", "--at https://a.example", "--of 2026-01-01", "--from ."],
)
def test_what_copies_have_no_use_for_is_a_wrong_wish(tmp_path: Path, words: str) -> None:
    (tmp_path / "pieces").mkdir()
    line = ["--studio", str(tmp_path / "pieces"), "publish", "--records", *words.split()]
    said = CliRunner().invoke(main, line)
    assert said.exit_code == 2, said.output
    assert words.split()[0] in said.output


@pytest.mark.parametrize(
    ("path", "is_well"),
    [
        ("records/.printed/2026-03-01.yaml", True),
        ("records/letters/to a guild.txt", True),
        ("keys/abc.pem", True),
        ("records/.git/hooks/post-checkout", False),
        ("records/letters/.bashrc", False),
        ("records/letters/.printed/x", False),
        ("keys/deep/abc.pem", False),
        ("keys/.abc.pem", False),
        ("keys/abc.txt", False),
    ],
)
def test_a_list_names_only_what_a_copy_holds(path: str, is_well: bool) -> None:
    data = f"{LINE}{path}\n".encode()
    if is_well:
        assert copy_list.of_bytes(data, "l")[0].path == path
    else:
        with pytest.raises(Refused):
            copy_list.of_bytes(data, "l")


@pytest.mark.parametrize("rest", ["1", "", "9" * 400])
def test_a_fraction_has_nine_digits(rest: str) -> None:
    line = LINE.replace("000000001Z", f"{rest}Z")
    with pytest.raises(Refused):
        copy_list.of_bytes(f"{line}records/a\n".encode(), "l")


@pytest.mark.parametrize(
    "data",
    ["[" * 200_000, '{"files":{"\\ud800":["",1]},"site":""}', '{"files":{},"site":"\\ud800"}'],
)
def test_a_manifest_that_is_none_is_told(data: str) -> None:
    with pytest.raises(Refused):
        Manifest.of_bytes(data.encode())


@pytest.mark.parametrize(
    ("served", "copies", "is_one"),
    [
        ("/srv/www", "/srv//www/copies", True),
        ("/srv/www", "/srv/x/../www", True),
        ("~/www", "www/copies", True),
        ("/home/isla/www", "~/www", True),
        ("/srv/www", "/srv/wwwcopies", False),
        ("~/www", "~/copies", False),
    ],
)
def test_one_folder_of_a_host_is_known_in_each_writing(
    tmp_path: Path, served: str, copies: str, is_one: bool
) -> None:
    def host(name: str, folder: str) -> Host:
        return Host.model_validate({"host": name, "user": "isla", "folder": folder})

    there = SecondPlace(sftp=host("Host.Example", copies))
    assert is_public(Publishing(sftp=host("host.example", served)), there, tmp_path) is is_one


def test_the_same_bucket_is_enough(tmp_path: Path) -> None:
    def store(bucket: str, endpoint: str) -> S3:
        return S3.model_validate({"bucket": bucket, "endpoint": endpoint, "region": "eu"})

    public = Publishing(s3=store("isla", "https://a.example"))
    assert is_public(public, SecondPlace(s3=store("isla", "https://A.example")), tmp_path)
    assert not is_public(public, SecondPlace(s3=store("copies", "https://a.example")), tmp_path)


def test_a_folder_below_a_published_site_is_public(tmp_path: Path) -> None:
    (tmp_path / "www/in").mkdir(parents=True)
    (tmp_path / "www/index.html").touch()
    there = second(tmp_path / "www/in")
    named = Publishing(folder=Written("../elsewhere"))
    assert not is_public(named, there, tmp_path / "pieces")
    (tmp_path / "www/.published.json").touch()
    assert is_public(named, there, tmp_path / "pieces")


def test_copies_without_their_manifest_are_read_by_their_lists(tmp_path: Path) -> None:
    place, name = stored(tmp_path / "there", "records/a.yaml")
    found = second_place.checked_at(place, place.root, str, lambda *_: None)
    assert (len(found.days), found.files, found.lost) == (1, 2, ())
    next((place.root / "files").iterdir()).write_bytes(b"y")
    found = second_place.checked_at(place, place.root, str, lambda *_: None)
    assert [each.partition("/")[0] for each in found.lost] == ["files"]
    (place.root / name).unlink()
    (tmp_path / "pieces").mkdir()
    line = ["--studio", str(tmp_path / "pieces"), "publish", "--records", "--check", "--from"]
    said = CliRunner().invoke(main, [*line, str(place.root)])
    assert (said.exit_code, said.output) == (1, "no copy lies there\n")
