"""What a place, a host or a server may do that must not lead astray."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from provenance.language.phrases import british
from provenance.language.telling import told_slip
from provenance.problems import Slip, WrongWish
from provenance.publish import web
from provenance.publish.before import before, served_names
from provenance.publish.folder import FolderPlace
from provenance.publish.hosts import options
from provenance.publish.manifest import NAME
from provenance.publish.printed_addresses import printed_addresses
from provenance.publish.redirects import is_only_other_way, write_redirects
from provenance.publish.refused import Refused
from provenance.publish.served import open_all, refuse_address
from provenance.publish.served_lines import served_lines
from provenance.publish.sftp import sftp_place
from provenance.publish.web import ask
from provenance.records.publishing import Host, expanded
from tests.publish.a_place import host_of, pages, publish, write_site
from tests.publish.servers import Sshd
from tests.publish.small_studio import border, site, studio
from tests.publish.test_served import opened, serving


@pytest.fixture
def there(tmp_path: Path) -> Path:
    folder = tmp_path / "there"
    folder.mkdir()
    return folder


def settings(home: Path, text: str) -> tuple[object, list[str]]:
    """What publish.yaml says in a studio, and what is told of that file."""
    records = studio(home)
    (records / "studio" / "publish.yaml").write_text(text, encoding="utf-8")
    way = border(records)
    told = [
        way.phrases.tell(each.what)
        for each in way.studio.problems
        if each.place.file.endswith("publish.yaml")
    ]
    return way.studio.book.publishing, told


@pytest.mark.parametrize("files", ["none", "~/nowhere"])
def test_a_config_that_trusts_anybody_is_not_followed(
    sshd: Sshd, there: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, files: str
) -> None:
    home = tmp_path / "home"
    (home / ".ssh").mkdir(parents=True)
    (home / ".ssh" / "config").write_text(f"Host *\n  UserKnownHostsFile {files}\n")
    monkeypatch.setenv("HOME", str(home))
    host = host_of(sshd, there).model_copy(update={"known_hosts": None})
    assert options(host)["known_hosts"] == b""
    with pytest.raises(Refused) as refused, sftp_place(host):
        pass
    assert "127.0.0.1 is not among your known hosts" in told_slip(refused.value, british())
    (home / ".ssh" / "known_hosts").write_text(sshd.known_hosts.read_text())
    with sftp_place(host) as place:
        assert place.manifest().files == {}


def test_the_lists_of_the_config_hold(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / ".ssh").mkdir()
    (tmp_path / ".ssh" / "config").write_text("Host *\n  UserKnownHostsFile ~/.ssh/own ~/lacks\n")
    (tmp_path / ".ssh" / "own").write_text("")
    monkeypatch.setenv("HOME", str(tmp_path))
    host = Host.model_validate({"host": "h.example", "folder": "/srv"})
    assert options(host)["known_hosts"] == [str(tmp_path / ".ssh" / "own")]


@pytest.mark.parametrize("name", ["index.html", NAME])
def test_a_folder_is_not_written_through_a_link_beside(
    there: Path, tmp_path: Path, name: str
) -> None:
    outside = tmp_path / "outside"
    outside.write_text("mine")
    (there / f".{name}.coming").symlink_to(outside)
    publish(FolderPlace(there), write_site(tmp_path / "site", pages(1, "one")))
    assert outside.read_text() == "mine"
    assert (there / name).is_file()
    assert not (there / name).is_symlink()


@pytest.mark.parametrize("name", ["index.html", NAME])
def test_sftp_does_not_write_through_a_link_beside(
    sshd: Sshd, there: Path, tmp_path: Path, name: str
) -> None:
    outside = tmp_path / "outside"
    outside.write_text("mine")
    (there / f".{name}.coming").symlink_to(outside)
    with sftp_place(host_of(sshd, there)) as place:
        publish(place, write_site(tmp_path / "site", pages(1, "one")))
    assert outside.read_text() == "mine"
    assert (there / name).is_file()
    assert not (there / name).is_symlink()


def test_sftp_does_not_follow_a_folder_that_leads_out(
    sshd: Sshd, there: Path, tmp_path: Path
) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    (there / "pictures").symlink_to(outside)
    with pytest.raises(Refused) as refused, sftp_place(host_of(sshd, there)) as place:
        publish(place, write_site(tmp_path / "site", pages(1, "one")))
    assert "the folder of pictures/ is a link that leads out of the place" in told_slip(
        refused.value, british()
    )
    assert list(outside.iterdir()) == []


def test_a_link_within_the_place_may_stand_for_a_folder(
    sshd: Sshd, there: Path, tmp_path: Path
) -> None:
    (there / "other").mkdir()
    (there / "pictures").symlink_to(there / "other")
    with sftp_place(host_of(sshd, there)) as place:
        publish(place, write_site(tmp_path / "site", pages(1, "one")))
    assert list((there / "other").rglob("*.jpg"))


@pytest.mark.parametrize("word", ["host", "user", "port"])
def test_a_password_in_the_wrong_place_is_not_said_back(tmp_path: Path, word: str) -> None:
    told = {"host": "h.example", "folder": "/srv", word: "isla:hunter2@h.example"}
    lines = "".join(f'  {each}: "{text}"\n' for each, text in told.items())
    found, said = settings(tmp_path, f"sftp:\n{lines}")
    assert found is None
    assert said == [f"{word}: this is no name, folder or address"]


class _Noted(FolderPlace):
    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self.removed: list[list[str]] = []

    def remove(self, names: Sequence[str]) -> None:
        self.removed.append(list(names))
        super().remove(names)


def test_pages_go_before_their_pictures(there: Path, tmp_path: Path) -> None:
    site, place = tmp_path / "site", _Noted(there)
    publish(place, write_site(site, pages(2, "one")))
    publish(place, write_site(site, pages(1, "one")))
    assert place.removed == [["2026-001/index.html"], ["pictures/2026-001/one.jpg"]]
    assert not (there / "2026-001").exists()
    assert not (there / "pictures" / "2026-001").exists()


def test_the_home_of_nobody_is_told_at_its_place(tmp_path: Path) -> None:
    text = "sftp:\n  host: h.example\n  folder: /srv\n  key: ~isla2-nobody/.ssh/id\n"
    found, said = settings(tmp_path, text)
    assert found is None
    assert said == ["key: no user of this machine has the home ~isla2-nobody"]
    with pytest.raises(Slip):
        expanded("~isla2-nobody/site", tmp_path)


@pytest.mark.parametrize("way", ["folder", "second place: {folder"])
def test_a_folder_in_the_home_of_nobody_is_told(tmp_path: Path, way: str) -> None:
    end = "}" if "{" in way else ""
    _, said = settings(tmp_path, f'{way}: "~isla2-nobody/site"{end}\n')
    assert said == ["folder: no user of this machine has the home ~isla2-nobody"]


def test_keys_are_looked_for_from_the_records(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    host = "{host: h.example, folder: srv, key: ../keys/id, known hosts: ~/known}"
    found, said = settings(tmp_path, f"rsync: {host}\nsecond place: {{sftp: {host}}}\n")
    assert said == []
    records = found.rsync.key.removesuffix("/../keys/id")  # type: ignore[attr-defined]
    assert Path(records, "studio", "publish.yaml").is_file()
    assert Path(records).is_absolute()
    for each in (found.rsync, found.second_place.sftp):  # type: ignore[attr-defined]
        assert (each.key, each.known_hosts) == (
            f"{records}/../keys/id",
            str(tmp_path / "home" / "known"),
        )
        assert each.folder == "srv"


def moved(home: Path, new: str) -> tuple[list[Path], list[str], list[str]]:
    """A studio that was at https://old.brackenfold.example: its folders of rules, what is told
    beside them, what is advised before a site goes up."""
    way = border(studio(home, site=new))
    lies, book = site(home, of=new), way.studio.book
    printed = printed_addresses(book, lies)
    made = write_redirects(book, printed, lies, served_names(lies), way.phrases)
    served = open_all(book, printed, lies, "http://[::1")
    lines = served_lines(served, made, is_only_other_way=is_only_other_way(book, printed))
    there = "https://old.brackenfold.example"
    remedies = [
        way.phrases.tell(each.remedy)
        for each in before(way, lies, there, served_names(lies)).asked
        if way.phrases.tell(each.remedy).startswith("codes on paper")
    ]
    return list(made), [way.phrases.tell(each) for each in lines], remedies


def test_from_https_to_http_no_rules_are_written(tmp_path: Path) -> None:
    made, told, remedies = moved(tmp_path, "http://old.brackenfold.example")
    assert made == []
    assert not (tmp_path / "redirects").exists()
    assert any("let the server lead http to https" in line for line in told)
    assert {each.partition(", or back")[0] for each in remedies} == {
        "codes on paper live for decades: let the server lead http to https"
    }


def test_rules_of_a_twin_lead_to_no_circle(tmp_path: Path) -> None:
    made, told, _ = moved(tmp_path, "https://www.old.brackenfold.example")
    assert not any("let the server lead http to https" in line for line in told)
    (folder,) = made
    names = {each.name for each in folder.iterdir()}
    assert names == {"nginx.conf", "htaccess.txt", "Caddyfile", "read-me.txt"}
    text = (folder / "read-me.txt").read_text()
    assert "pages/" not in text
    assert "_redirects" not in text
    assert (folder / "htaccess.txt").read_text() == (
        "RewriteEngine On\n"
        r"RewriteCond %{HTTP_HOST} ^old\.brackenfold\.example(:[0-9]+)?$ [NC]"
        "\nRewriteRule ^(.*)$ https://www.old.brackenfold.example/$1 [R=301,L]\n"
    )


def test_without_a_new_address_no_rules_are_promised(tmp_path: Path) -> None:
    made, _, remedies = moved(tmp_path, "")
    assert made == []
    assert set(remedies) == {
        "codes on paper live for decades: write 'site' again, or the new address; only to a new "
        "address can 'provenance publish --check' write rules that lead on"
    }


@pytest.mark.parametrize("at", ["http://127.0.0.1:99999", "http://[::1", "http://a:b"])
def test_what_is_no_address_is_no_wish(at: str) -> None:
    with pytest.raises(WrongWish):
        refuse_address(at)
    assert web.host_of(at) == "-"


@pytest.mark.parametrize("to", ["http://x:99999/", "http://[::1", "http://[::1/"])
def test_a_redirect_to_no_address_leads_elsewhere(tmp_path: Path, to: str) -> None:
    def change(_: str, answer: dict[str, Any]) -> None:
        answer["status"] = 301
        answer["headers"]["Location"] = to

    lies = site(tmp_path)
    with serving(lies, change) as at:
        _, found = opened(tmp_path, lies, at)
    assert (found.verdict, found.led_to) == ("elsewhere", to)


def test_a_host_that_shows_the_name_of_the_page(tmp_path: Path) -> None:
    def change(path: str, answer: dict[str, Any]) -> None:
        if path == "/2026-001/":
            answer["status"] = 301
            answer["headers"]["Location"] = "/2026-001/index.html"

    lies = site(tmp_path)
    with serving(lies, change) as at:
        _, found = opened(tmp_path, lies, at)
    assert (found.verdict, found.differs) == ("redirected", ())
    assert found.led_to.endswith("/2026-001/index.html")


@pytest.mark.parametrize("coding", ["utf-8", "ascii"])
def test_a_redirect_in_raw_letters_is_followed(tmp_path: Path, coding: str) -> None:
    """A header holds bytes, which the server of the standard library takes as Latin-1."""
    raw = "/ü/?q=ü".encode().decode("latin-1") if coding == "utf-8" else "/%C3%BC/?q=%C3%BC"
    asked = []

    def change(path: str, answer: dict[str, Any]) -> None:
        asked.append(path)
        if path == "/":
            answer |= {"status": 302, "headers": {"Location": raw}}
        else:
            answer["status"] = 200

    with serving(site(tmp_path), change) as at:
        found = ask(f"{at}/", frozenset({web.host_of(at)}))
    assert (found.status, found.fault) == (200, "")
    assert asked == ["/", "/%C3%BC/?q=%C3%BC"]


def test_a_host_in_raw_letters_is_the_same_host() -> None:
    assert web.host_of("https://ü.example/") == "xn--tda.example"
    assert web.host_of("https://xn--tda.example:443/") == "xn--tda.example"
