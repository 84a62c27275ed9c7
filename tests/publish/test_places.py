"""Sites go up and change: in a folder, by SFTP and rsync to OpenSSH's own server; what is foreign
stays; what a place refuses is told in words."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

import pytest

from provenance.language.phrases import british
from provenance.language.telling import told_slip
from provenance.problems import Said
from provenance.publish import rsync
from provenance.publish.folder import FolderPlace
from provenance.publish.going_out import proposal
from provenance.publish.manifest import NAME, Manifest
from provenance.publish.place import Place
from provenance.publish.refused import Refused
from provenance.publish.rsync import RsyncPlace, rsync_place
from provenance.publish.sftp import sftp_place
from provenance.records.publishing import Host
from tests.publish.a_place import ADDRESS, held, host_of, pages, publish, served, write_site
from tests.publish.servers import Sshd, delayed, line_of, make_key, need

Opens = Callable[[Path], AbstractContextManager[Place]]
NOBODY_IS_KEPT_OUT = hasattr(os, "geteuid") and os.geteuid() == 0


@contextmanager
def _folder(folder: Path) -> Iterator[Place]:
    yield FolderPlace(folder)


def _no_sftp(_: object) -> AbstractContextManager[Place]:
    raise Refused(Said("publishing.no_sftp", host="127.0.0.1"))


@pytest.fixture(params=["folder", "sftp", "rsync", "rsync alone"])
def opens(request: pytest.FixtureRequest) -> Opens:
    """A way to open a folder as a place."""
    if request.param == "folder":
        return _folder
    sshd: Sshd = request.getfixturevalue("sshd")
    if request.param == "rsync alone":
        request.getfixturevalue("monkeypatch").setattr(rsync, "sftp_place", _no_sftp)
    if request.param.startswith("rsync"):
        need("rsync")
        return lambda folder: rsync_place(host_of(sshd, folder))
    return lambda folder: sftp_place(host_of(sshd, folder))


@pytest.fixture
def there(tmp_path: Path) -> Path:
    folder = tmp_path / "served by us, größer"
    folder.mkdir()
    return folder


def words(refused: pytest.ExceptionInfo[Refused]) -> str:
    return told_slip(refused.value, british())


def test_a_site_goes_up_changes_and_stays(opens: Opens, there: Path, tmp_path: Path) -> None:
    first, second = pages(6, "one"), pages(5, "one", own="two")
    site = write_site(tmp_path / "site", first)
    (there / "foreign.txt").write_text("not ours")
    (there / "2026-005").mkdir()
    (there / "2026-005" / "foreign too.txt").write_text("nor this")
    foreign = {"foreign.txt": b"not ours", "2026-005/foreign too.txt": b"nor this"}
    with opens(there) as place:
        publish(place, site)
    assert held(there) == served(first) | foreign
    with opens(there) as place:
        assert proposal(place, "", site, ADDRESS).is_done
    write_site(site, second)
    with opens(there) as place:
        done = publish(place, site)
    assert [each.name for each in done.plan.new] == ["pictures/2026-000/two.jpg"]
    assert {each.name for each in done.plan.changed} == {"2026-000/index.html", "index.html"}
    pictures = {f"pictures/{number}/one.jpg" for number in ("2026-000", "2026-005")}
    assert {each.name for each in done.plan.gone} == {"2026-005/index.html", *pictures}
    assert held(there) == served(second) | foreign
    assert not (there / "pictures" / "2026-005").exists()
    assert Manifest.of_bytes((there / NAME).read_bytes()).files.keys() == served(second).keys()


def test_what_lies_in_the_way_is_named(opens: Opens, there: Path, tmp_path: Path) -> None:
    site = write_site(tmp_path / "site", pages(2, "one"))
    (there / "index.html").write_text("somebody else's front page")
    (there / "feed.xml").write_bytes(pages(2, "one")["feed.xml"])
    (there / "about").mkdir()
    (there / "about" / "Größe & Maß.txt").write_text("x")
    with opens(there) as place:
        found = proposal(place, "", site, ADDRESS)
        assert set(found.in_the_way) == {"index.html", "about/Größe & Maß.txt"}


def test_a_folder_that_is_not_there_is_not_made(opens: Opens, there: Path) -> None:
    with pytest.raises(Refused) as refused, opens(there / "srv") as place:
        place.manifest()
    assert f"there is no folder {there / 'srv'} at the place" in words(refused)
    assert not (there / "srv").exists()


def test_half_a_file_of_a_killed_run_goes(opens: Opens, there: Path, tmp_path: Path) -> None:
    site = write_site(tmp_path / "site", pages(2, "one"))
    with opens(there) as place:
        publish(place, site)
        known = dict(place.manifest().files)
        known["old/page.html"] = known["index.html"].__class__("", 9)
        place.put_manifest(Manifest(known, ADDRESS).to_bytes())
    (there / "old").mkdir()
    (there / "old" / ".page.html.coming").write_text("half")
    with opens(there) as place:
        publish(place, site)
    is_written_by_us = getattr(place, "beside", place)  # rsync clears away after itself
    assert bool(is_written_by_us) is not (there / "old").exists()


@pytest.mark.skipif(NOBODY_IS_KEPT_OUT, reason="root may write anywhere")
def test_a_folder_that_may_not_be_written(opens: Opens, there: Path, tmp_path: Path) -> None:
    site = write_site(tmp_path / "site", pages(1, "one"))
    there.chmod(0o555)
    try:
        with pytest.raises(Refused) as refused, opens(there) as place:
            publish(place, site)
    finally:
        there.chmod(0o755)
    assert "is it the right folder, and does it belong to your user?" in words(refused)


@pytest.mark.parametrize("open_place", [sftp_place, rsync_place])
def test_an_unknown_host_is_refused(open_place: Callable[..., AbstractContextManager[Place]],
                                    sshd: Sshd, there: Path, tmp_path: Path) -> None:  # fmt: skip
    nobody = tmp_path / "nobody"
    nobody.write_text("")
    host = host_of(sshd, there, **{"known hosts": nobody})
    with pytest.raises(Refused) as refused, open_place(host) as place:
        place.manifest()
    line = sshd.known_hosts.read_text().strip()
    assert "127.0.0.1 is not among your known hosts" in words(refused)
    assert f"add this line to {nobody}: {line}" in words(refused)
    nobody.write_text(line)
    with open_place(host) as place:
        assert place.manifest() == Manifest()


@pytest.mark.parametrize("open_place", [sftp_place, rsync_place])
def test_another_host_key_is_refused(open_place: Callable[..., AbstractContextManager[Place]],
                                     sshd: Sshd, there: Path, tmp_path: Path) -> None:  # fmt: skip
    false = tmp_path / "false"
    false.write_text("# known\n" + line_of(make_key(tmp_path / "another"), sshd.port))
    host = host_of(sshd, there, **{"known hosts": false})
    with pytest.raises(Refused) as refused, open_place(host) as place:
        place.manifest()
    assert "127.0.0.1 shows another key than the one you know it by: SHA256:" in words(refused)
    assert f"take the old one out of {false} (line 2)" in words(refused)


@pytest.mark.parametrize("open_place", [sftp_place, rsync_place])
def test_a_wrong_key_is_refused(open_place: Callable[..., AbstractContextManager[Place]],
                                sshd: Sshd, there: Path, tmp_path: Path,
                                monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    monkeypatch.delenv("SSH_AUTH_SOCK", raising=False)
    host = host_of(sshd, there, key=make_key(tmp_path / "stranger"))
    with pytest.raises(Refused) as refused, open_place(host) as place:
        place.manifest()
    assert "127.0.0.1 lets nobody in with the keys at hand" in words(refused)
    assert "is 'user' right, and your public key at the host?" in words(refused)


@pytest.mark.parametrize("code", [12, 255])
@pytest.mark.parametrize(("told", "meant"), [
    ("user@127.0.0.1: Permission denied (publickey).\r\nrsync: connection unexpectedly closed",
     "127.0.0.1 lets nobody in with the keys at hand"),
    ("ssh: connect to host 127.0.0.1 port 9: Connection refused\r\nrsync: connection unexpected",
     "127.0.0.1 can't be reached: ssh: connect to host 127.0.0.1 port 9: connection refused\n"),
    ("Connection timed out during banner exchange\nConnection to 127.0.0.1 port 9 timed out\r\n",
     "127.0.0.1 can't be reached: connection timed out during banner exchange\n"),
    ('rsync: open ".published.json" failed: Permission denied (13)',
     "127.0.0.1 does not let you write"),
])  # fmt: skip
def test_what_ssh_says_is_told_whatever_code_rsync_ends_with(
    code: int, told: str, meant: str, tmp_path: Path
) -> None:
    """rsync's manual page, EXIT VALUES: 12 is a broken stream, 255 is ssh's own."""
    place = RsyncPlace(Host(host="127.0.0.1", folder="served"), tmp_path)
    with pytest.raises(Refused) as refused:
        place._refuse(code, told, NAME)
    assert meant in words(refused)


def test_a_line_that_breaks(sshd: Sshd, there: Path, tmp_path: Path) -> None:
    """And the next run, over a whole line, goes on."""
    files = pages(12, "one")
    site, known = write_site(tmp_path / "site", files), tmp_path / "known"
    with delayed(sshd.port, 0.0, cut_after=120_000) as port:
        host_key = sshd.known_hosts.with_name("host_key")
        known.write_text(line_of(host_key, port))
        host = host_of(sshd, there, port=port, **{"known hosts": known})
        with pytest.raises(Refused) as refused, sftp_place(host) as place:
            publish(place, site)
    assert "the line to 127.0.0.1 broke\n    run it again: it goes on from there" in words(refused)
    with sftp_place(host_of(sshd, there)) as place:
        assert not proposal(place, "", site, ADDRESS).in_the_way
        publish(place, site)
    assert held(there) == served(files)


def test_a_damaged_manifest_leads_nowhere(there: Path) -> None:
    for told in ('{"files":{"../out":["",1]},"site":""}', '{"files":{"/etc/x":["",1]},"site":""}',
                 '{"files":{"a":["zz",1]},"site":""}', "[]", "{"):  # fmt: skip
        (there / NAME).write_text(told)
        with pytest.raises(Refused) as refused:
            FolderPlace(there).manifest()
        assert f"{NAME} at the place is damaged" in words(refused)


def test_nothing_is_written_through_a_link_that_leads_out(there: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    (there / "pictures").symlink_to(outside)
    with pytest.raises(Refused) as refused:
        publish(FolderPlace(there), write_site(tmp_path / "site", pages(1, "one")))
    assert "is a link that leads out of the place" in words(refused)
    assert list(outside.rglob("*.jpg")) == []
