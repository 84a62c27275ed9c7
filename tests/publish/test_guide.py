"""The four ways to a public site, as the README tells them: its YAML is written into a studio with
this machine's servers in place of its hosts, the site goes there, and every printed address is
opened where it is then served."""

from __future__ import annotations

import hashlib
import re
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml

from provenance.publish.before import before, served_names
from provenance.publish.going_out import proposal
from provenance.publish.opening import place_for, told_place
from provenance.publish.printed_addresses import printed_addresses
from provenance.publish.served import Served, open_all
from tests.publish.servers import Sshd, need
from tests.publish.small_studio import SITE, border, site, studio
from tests.publish.stores import KEY, SECRET, Store
from tests.publish.test_git import use
from tests.publish.test_served import serving

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
BLOCKS = {
    block.partition(":")[0]: block
    for block in re.findall(r"```yaml publish\n(.*?)```", README, re.DOTALL)
}
Way = tuple[dict[str, str], Path]


def test_the_guide_has_four_ways() -> None:
    assert list(BLOCKS) == ["sftp", "rsync", "git", "s3"]


def published(home: Path, way: str, here: dict[str, Any]) -> Path:
    """The site sent by a block of the README, whose own values give way to `here`; the site."""
    asked = yaml.safe_load(BLOCKS[way])
    assert {*asked} == {way}
    told = {way: {word: here.get(word, value) for word, value in asked[way].items()} | here}
    records = studio(home, {"studio/publish.yaml": yaml.safe_dump(told)})
    lies = site(home, {"site.css": "body { color: #123 }" * 90})
    names = (*served_names(lies), ".studio")
    listed = (f"{hashlib.sha256((lies / n).read_bytes()).hexdigest()}  {n}\n" for n in names)
    (lies / ".provenance-files").write_text("".join(listed))
    look = border(records)
    settings = look.studio.book.publishing
    assert settings is not None
    assert settings.way == way
    with place_for(settings, records) as place:
        found = proposal(place, told_place(settings), lies, SITE)
        assert before(look, lies, found.there.site, tuple(found.site.files)).refused == ()
        found.carry_out(lambda _done, _of: None)
    with place_for(settings, records) as place:
        assert proposal(place, told_place(settings), lies, SITE).is_done
    return lies


def looked(home: Path, lies: Path, at: str) -> Served:
    """As `publish --check --at` looks."""
    book = border(home / "pieces").studio.book
    served = open_all(book, printed_addresses(book, lies), lies, at)
    assert [each.verdict for each in served.opened] == ["answers", "answers"]
    assert not any(each.remarks for each in served.opened)
    return served


def _host(sshd: Sshd, folder: Path) -> dict[str, Any]:
    return {
        "host": "127.0.0.1", "port": sshd.port, "user": sshd.user, "folder": str(folder),
        "key": str(sshd.key), "known hosts": str(sshd.known_hosts),
    }  # fmt: skip


@pytest.mark.parametrize("way", ["sftp", "rsync"])
def test_web_space_and_a_server_of_ones_own(way: str, tmp_path: Path, sshd: Sshd) -> None:
    if way == "rsync":
        need("rsync")
    served = sshd.folder / f"{tmp_path.name}-www"
    served.mkdir()
    lies = published(tmp_path, way, _host(sshd, served))
    with serving(served) as at:
        looked(tmp_path, lies, at)


def test_a_branch_that_is_shown_as_pages(
    tmp_path: Path, sshd: Sshd, monkeypatch: pytest.MonkeyPatch
) -> None:
    git, remote = need("git"), sshd.folder / f"{tmp_path.name}-site.git"
    subprocess.run([git, "init", "-q", "--bare", "-b", "main", str(remote)], check=True)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    use(monkeypatch, sshd.key, sshd.known_hosts)
    address = f"ssh://{sshd.user}@127.0.0.1:{sshd.port}{remote}"
    lies = published(tmp_path, "git", {"remote": address})
    shown = tmp_path / "shown"
    words = ["clone", "-q", "--branch", "pages", str(remote), str(shown)]
    subprocess.run([git, *words], check=True, capture_output=True)
    with serving(shown) as at:
        looked(tmp_path, lies, at)


def _network(store: Store, bucket: str) -> Callable[[str, dict[str, Any]], None]:
    """A content network before a bucket: the object of that name, index.html for an address that
    ends with a slash; what the object says of itself goes with it, packed on the way."""
    client = store.client()

    def answer(path: str, told: dict[str, Any]) -> None:
        name = path.lstrip("/")
        key = f"{name}index.html" if name.endswith("/") or not name else name
        found = client.get_object(Bucket=bucket, Key=key)
        told["status"], told["content"] = 200, found["Body"].read()
        told["headers"] = {"Content-Type": found["ContentType"]}
        told["headers"]["Cache-Control"] = found["CacheControl"]

    return answer


def test_object_storage_behind_a_content_network(
    tmp_path: Path, moto: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name, value in (("ACCESS_KEY_ID", KEY), ("SECRET_ACCESS_KEY", SECRET)):
        monkeypatch.setenv(f"AWS_{name}", value)
    monkeypatch.setenv("AWS_SHARED_CREDENTIALS_FILE", str(tmp_path / "none"))
    bucket = "four-ways"
    moto.client().create_bucket(Bucket=bucket)
    lies = published(tmp_path, "s3", {"bucket": bucket, "endpoint": moto.endpoint})
    with serving(tmp_path / "nothing", _network(moto, bucket)) as at:
        looked(tmp_path, lies, at)
