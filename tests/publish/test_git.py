"""A branch over OpenSSH's own sshd: one commit upon the last, foreign files stay, and refusals."""

from __future__ import annotations

import os
import shlex
import subprocess
import tarfile
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pytest

from provenance.problems import Said, Slip
from provenance.publish.git import git_place
from provenance.publish.place import Outgoing, Whole
from provenance.publish.refused import Refused
from provenance.publish.sending import Sent
from provenance.publish.site_files import outgoing
from provenance.records.publishing import Git
from tests.publish.servers import Sshd, line_of, make_key, need
from tests.publish.stores import SITE, publish, sent, told, written

HOOK = '#!/bin/sh\ntouch "$(dirname "$0")/ran"\nexit 1\n'


@pytest.fixture
def remote(sshd: Sshd, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """An empty repository that is reached by ssh alone; the maker's own settings beside it."""
    path = sshd.folder / f"{tmp_path.name}.git"
    git(tmp_path, "init", "-q", "--bare", "-b", "main", str(path))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    use(monkeypatch, sshd.key, sshd.known_hosts)
    (tmp_path / "hooks").mkdir()
    for name in ("pre-push", "reference-transaction", "post-update"):
        (tmp_path / "hooks" / name).write_text(HOOK)
        (tmp_path / "hooks" / name).chmod(0o755)
    config = tmp_path / "gitconfig"
    config.write_text(f"[core]\n\thooksPath = {tmp_path / 'hooks'}\n\tautocrlf = true\n")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(config))
    before = config.read_bytes()
    yield path
    assert config.read_bytes() == before
    assert not (tmp_path / "hooks" / "ran").exists()


def use(monkeypatch: pytest.MonkeyPatch, key: Path, known_hosts: Path) -> None:
    """The maker's own way to call ssh; asking about hosts would be let through by it."""
    need("git")
    said = ("StrictHostKeyChecking=no", f"UserKnownHostsFile={known_hosts}", "IdentitiesOnly=yes",
            "IdentityAgent=none")  # fmt: skip
    words = ["ssh", "-F", "none", "-i", str(key), *(f"-o{each}" for each in said)]
    monkeypatch.setenv("GIT_SSH_COMMAND", shlex.join(words))


def git(folder: Path, *words: str, feed: str = "") -> str:
    env = {**os.environ, "GIT_AUTHOR_NAME": "x", "GIT_AUTHOR_EMAIL": "x@y.example",
           "GIT_COMMITTER_NAME": "x", "GIT_COMMITTER_EMAIL": "x@y.example",
           "GIT_CONFIG_GLOBAL": "/dev/null"}  # fmt: skip
    found = subprocess.run([need("git"), *words], cwd=folder, env=env, input=feed,
        capture_output=True, text=True, check=True)  # fmt: skip
    return found.stdout


def settings(sshd: Sshd, remote: Path, port: int = 0) -> Git:
    address = f"ssh://{sshd.user}@127.0.0.1:{port or sshd.port}{remote}"
    return Git(remote=written(address, 2), branch=written("pages", 3))


def lying(remote: Path) -> dict[str, str]:
    """What the branch holds."""
    words = [need("git"), "archive", "--format=tar", "pages"]
    env = {**os.environ, "GIT_CONFIG_GLOBAL": "/dev/null"}
    packed = subprocess.run(words, cwd=remote, env=env, capture_output=True, check=True).stdout
    with tarfile.open(fileobj=BytesIO(packed)) as tar:
        return {each.name: tar.extractfile(each).read().decode()  # type: ignore[union-attr]
                for each in tar if each.isfile()}  # fmt: skip


def by_hand(remote: Path, name: str, text: str, branch: str = "pages") -> None:
    """Somebody commits a file on the branch itself."""
    body = f"commit refs/heads/{branch}\ncommitter x <x@y.example> 1 +0000\ndata 1\nx\n"
    if git(remote, "branch", "--list", branch):
        body += f"from refs/heads/{branch}^0\n"
    body += f"M 100644 inline {name}\ndata {len(text.encode())}\n{text}\n"
    git(remote, "fast-import", "--quiet", feed=body)


def ours(site: Sent) -> dict[str, str]:
    return {name: (site.folder / name).read_text() for name in site.files}


def test_a_site_goes_up_as_one_commit_and_again_upon_it(
    sshd: Sshd, remote: Path, tmp_path: Path
) -> None:
    where, site = settings(sshd, remote), sent(tmp_path / "site", SITE)
    with git_place(where) as branch:
        assert isinstance(branch, Whole)
        publish(branch, site)
    there = lying(remote)
    assert there.pop(".published.json").encode() == site.manifest.to_bytes()
    assert there == ours(site)
    first = git(remote, "rev-parse", "pages").strip()
    with git_place(where) as branch:  # nothing to do: no commit
        publish(branch, site)
    assert git(remote, "rev-parse", "pages").strip() == first

    less = {name: text for name, text in SITE.items() if "2026-015" not in name}
    changed = sent(tmp_path / "next", {**less, "index.html": "another\r\nfront"})
    with git_place(where) as branch:
        publish(branch, changed)
    there = lying(remote)
    assert there.pop(".published.json").encode() == changed.manifest.to_bytes()
    assert there == less | {"index.html": "another\r\nfront"}
    assert git(remote, "rev-parse", "pages^").strip() == first
    assert git(remote, "log", "-1", "--format=%an %ae", "pages").strip().endswith(".invalid")


def test_what_else_lies_on_the_branch_stays(sshd: Sshd, remote: Path, tmp_path: Path) -> None:
    by_hand(remote, "CNAME", "brackenfold.example\n")
    by_hand(remote, "index.html", "by hand")
    by_hand(remote, "2026-014", "a file where a folder must be")
    where, site = settings(sshd, remote), sent(tmp_path / "site", SITE)
    with git_place(where) as branch:
        branch.manifest()
        assert branch.foreign(outgoing_of(site)) == (
            "2026-014/index.html", '2026-014/ünder "quotes".txt', "index.html",
        )  # fmt: skip
        publish(branch, site)
    assert lying(remote)["CNAME"] == "brackenfold.example\n"
    none = sent(tmp_path / "next", {"index.html": "front"})
    with git_place(where) as branch:
        publish(branch, none)
    assert sorted(lying(remote)) == [".published.json", "CNAME", "index.html"]


def outgoing_of(site: Sent) -> list[Outgoing]:
    return outgoing(site.folder, sorted(site.files), site.files)


def test_a_second_computer_goes_on_from_what_lies_there(
    sshd: Sshd, remote: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    where, site = settings(sshd, remote), sent(tmp_path / "site", SITE)
    with git_place(where) as branch:
        publish(branch, site)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "other computer"))
    with git_place(where) as branch:
        assert branch.manifest() == site.manifest
        publish(branch, sent(tmp_path / "site", {**SITE, "feed.xml": "news"}))
    assert lying(remote)["feed.xml"] == "news"
    assert git(remote, "rev-list", "--count", "pages").strip() == "2"


def test_of_two_publishers_the_second_is_refused_and_changes_nothing(
    sshd: Sshd, remote: Path, tmp_path: Path
) -> None:
    where, site = settings(sshd, remote), sent(tmp_path / "site", SITE)
    for text in ("new", "newer"):  # on no branch, and upon one
        with git_place(where) as branch:
            branch.manifest()
            by_hand(remote, "CNAME", text)
            there = lying(remote)
            with pytest.raises(Refused) as refused:
                branch.send(outgoing_of(site), site.manifest.to_bytes())
        assert lying(remote) == there
        assert told(refused.value).startswith(
            "studio/publish.yaml:3:11: somebody else changed branch ‘pages’ while we looked; "
            "nothing was written. Git says: "
        )


def refused_of(where: Git) -> str:
    with git_place(where) as branch, pytest.raises(Refused) as refused:
        branch.manifest()
    return told(refused.value)


def test_a_host_that_is_not_known_is_not_talked_to(
    sshd: Sshd, remote: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Although the maker's own ssh command would let it through."""
    (tmp_path / "known").touch()
    use(monkeypatch, sshd.key, tmp_path / "known")
    said = refused_of(settings(sshd, remote))
    assert said.startswith("studio/publish.yaml:2:11: the host of ssh://")
    assert "is not known to this computer, so nothing was sent" in said
    assert "the fingerprint is the one that your host publishes" in said
    assert (tmp_path / "known").read_text() == ""

    (tmp_path / "known").write_text(line_of(make_key(tmp_path / "other"), sshd.port))
    said = refused_of(settings(sshd, remote))
    assert "shows another key than before: it may be someone else. Nothing was sent." in said
    assert "ask your host whether it has a new key" in said


def test_a_key_that_is_not_let_in(
    sshd: Sshd, remote: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    use(monkeypatch, make_key(tmp_path / "other"), sshd.known_hosts)
    said = refused_of(settings(sshd, remote))
    assert "does not let us in. Git says: " in said and "Permission denied" in said
    assert "load your key with ssh-add" in said


def test_no_repository_and_no_line(sshd: Sshd, remote: Path, tmp_path: Path) -> None:
    said = refused_of(settings(sshd, remote / "none.git"))
    assert said.startswith("studio/publish.yaml:2:11: there is no repository at ssh://")
    said = refused_of(settings(sshd, remote, port=1))
    assert "can't be reached. Git says: " in said and "Connection refused" in said
    plain = Git(remote=written("http://127.0.0.1:1/site.git", 2), branch=written("pages", 3))
    assert "is no address that can be used safely" in refused_of(plain)


def test_a_branch_that_takes_nothing(sshd: Sshd, remote: Path, tmp_path: Path) -> None:
    hook = remote / "hooks" / "pre-receive"
    hook.parent.mkdir(exist_ok=True)
    hook.write_text("#!/bin/sh\necho 'pages is closed' >&2\nexit 1\n")
    hook.chmod(0o755)
    with git_place(settings(sshd, remote)) as branch, pytest.raises(Refused) as refused:
        publish(branch, sent(tmp_path / "site", SITE))
    said = told(refused.value)
    assert said.startswith("studio/publish.yaml:3:11: ssh://")
    assert "does not take branch ‘pages’. Git says: " in said and "pages is closed" in said


def test_a_spoilt_store_of_ours_is_made_anew(sshd: Sshd, remote: Path, tmp_path: Path) -> None:
    where, site = settings(sshd, remote), sent(tmp_path / "site", SITE)
    with git_place(where) as branch:
        publish(branch, site)
    (store,) = (tmp_path / "cache" / "provenance" / "publishing" / "git").iterdir()
    (store / "HEAD").write_text("spoilt")
    with git_place(where) as branch:
        publish(branch, sent(tmp_path / "site", {**SITE, "feed.xml": "news"}))
    assert lying(remote)["feed.xml"] == "news"


def test_without_git_it_is_said(
    sshd: Sshd, remote: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    assert refused_of(settings(sshd, remote)) == (
        "studio/publish.yaml:2:11: publishing to a branch needs git, which is not installed\n"
        "    install git from git-scm.com, or with your system's packages"
    )


def test_words_are_said() -> None:
    """Every refusal that git's words lead to has words of ours."""
    from provenance.publish.git_asking import _SAID

    for why in (*(why for why, _ in _SAID), "fails"):
        slip = Slip(Said(f"stores.git_{why}", remote="r", branch="b", said="s"),
                    Said(f"stores.git_{why}_mend", remote="r"))  # fmt: skip
        assert "s" in told(slip)
