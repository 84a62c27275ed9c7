"""Git, asked so that it does what we say and nothing that was set up for other work.

In: words of a git command. Out: what it tells, or Refused in words, its own at the end. Its English
words are asked for (LC_ALL=C), since it has no codes. How a maker signs in (agent, ~/.ssh/config,
a credential helper) stays theirs; a host whose key is not known is never talked to.
"""

import os
import re
import shlex
import subprocess
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from functools import cached_property
from pathlib import Path

from provenance.problems import Said
from provenance.publish.refused import Refused, refused_at
from provenance.records.publishing import Git

_KEPT = ("GIT_ASKPASS", "GIT_SSH_VARIANT", "GIT_CONFIG_GLOBAL", "GIT_CONFIG_SYSTEM",
    "GIT_CONFIG_NOSYSTEM", "GIT_EXEC_PATH", "GIT_SSL_CAINFO", "GIT_SSL_CAPATH")  # fmt: skip
_SETTINGS = ("core.hooksPath=/dev/null", "core.bigFileThreshold=32k", "core.compression=1",
    "gc.autoDetach=false", "push.recurseSubmodules=no", "push.gpgSign=false",
    "push.followTags=false",
    "fetch.recurseSubmodules=no", "http.lowSpeedLimit=1", "http.lowSpeedTime=60")  # fmt: skip
_SSH = ("-oBatchMode=yes", "-oStrictHostKeyChecking=yes", "-oUpdateHostKeys=no",
    "-oConnectTimeout=20", "-oServerAliveInterval=15", "-oServerAliveCountMax=4")  # fmt: skip
_SHARED = ("-oControlMaster=auto", "-oControlPersist=60")
# What git 2.39 and OpenSSH 9.2 say in English, from the first that is found.
_SAID = (
    ("host_changed", r"REMOTE HOST IDENTIFICATION HAS CHANGED"),
    ("host_key", r"Host key verification failed|No \S+ host key is known"),
    ("sign_in", r"Permission denied \(|Authentication failed|could not read (Username|Password)"
     r"|terminal prompts disabled|HTTP (Basic: Access denied|401|403)|returned error: (401|403)"),
    ("certificate", r"server certificate verification failed|SSL certificate problem"),
    ("unreached", r"Could not resolve host|Connection (refused|timed out|closed|reset)"
     r"|Network is unreachable|No route to host|Failed to connect|Operation timed out"),
    ("scheme", r"transport '[^']*' not allowed"),
    ("meanwhile", r"\(stale info\)|\(fetch first\)|\(non-fast-forward\)|cannot lock ref"
     r"|\(failed to update ref\)|reference already exists"),
    ("declined", r"hook declined|\[remote rejected\]|protected branch|deny updating"),
    ("repository", r"not appear to be a git repository|[Rr]epository .*not found"
     r"|not a git repository|does not exist|returned error: 404"),
    ("full", r"No space left on device|Disk quota exceeded"),
)  # fmt: skip


_IDLE = re.compile(r"@|To |Done$|Please make sure|and the repository exists|hint:")


class Asking:
    """Git for one remote, and one store of our own."""

    def __init__(self, settings: Git, store: Path) -> None:
        self._settings, self._store = settings, store
        self._shared: Path | None = None  # where all that asks the remote shares one connection

    @contextmanager
    def one_connection(self) -> Iterator[None]:
        """Until the block ends, one connection for all that the remote is asked (ssh_config(5),
        ControlMaster); a name as short as can be: the path of a socket has 104 letters at most."""
        if os.name == "nt":  # ssh can't share there
            yield
            return
        with tempfile.TemporaryDirectory(prefix="pv-") as aside:
            self._shared = Path(aside) / "line"
            try:
                yield
            finally:
                if self._shared.exists():
                    words = [*shlex.split(self._ssh), "-O", "exit", "there"]
                    subprocess.run(words, capture_output=True, check=False)

    def here(self, *words: str, feed: Iterable[bytes] = ()) -> bytes:
        """Ask in our store; `feed` is read by git as it comes."""
        return self._told(self._run(("--git-dir", str(self._store), *words), feed))

    def outside(self, *words: str) -> bytes:
        """Ask where no store is needed."""
        return self._told(self._run(words))

    def over_there(self, *words: str) -> bytes:
        """Ask the remote."""
        env = {"GIT_SSH_COMMAND": self._ssh, "GIT_ALLOW_PROTOCOL": "ssh:https:file"}
        return self._told(self._run(("--git-dir", str(self._store), *words), env=env))

    def knows(self, commit: str) -> bool:
        """Whether a commit and all it holds lies in our store."""
        words = ("--git-dir", str(self._store), "cat-file", "-e", f"{commit}^{{tree}}")
        return self._run(words).returncode == 0

    def is_sound(self) -> bool:
        """Whether our store can be read."""
        words = ("--git-dir", str(self._store), "rev-parse", "--is-bare-repository")
        return self._run(words).stdout == b"true\n"

    @cached_property
    def _ssh(self) -> str:
        """The maker's own way to call ssh, with the host's key checked whatever was set."""
        found = (
            os.environ.get("GIT_SSH_COMMAND")
            or self._run(("config", "--get", "core.sshCommand")).stdout.decode().strip()
        )
        program, *rest = shlex.split(found) or ["ssh"]
        shared = [f"-oControlPath={self._shared}", *_SHARED] if self._shared else []
        return shlex.join(
            [program, *_SSH, *shared, *rest]
        )  # the first word on a setting is the one heard

    def _run(
        self, words: Iterable[str], feed: Iterable[bytes] = (), env: dict[str, str] | None = None
    ) -> "subprocess.CompletedProcess[bytes]":
        settings = [part for each in _SETTINGS for part in ("-c", each)]
        try:  # a file, not a pipe, that a connection left open would keep us waiting at
            with tempfile.TemporaryFile() as complaints:
                done = subprocess.run(
                    ["git", *settings, *words],
                    input=b"".join(feed),
                    stdout=subprocess.PIPE,
                    stderr=complaints,
                    env=_environment() | (env or {}),
                    cwd=self._store.parent if self._store.parent.is_dir() else None,
                    check=False,
                )
                complaints.seek(0)
                done.stderr = complaints.read()
                return done
        except FileNotFoundError:
            what, remedy = Said("stores.no_git"), Said("stores.install_git")
            raise refused_at(self._settings.remote.place, what, remedy) from None

    def _told(self, done: "subprocess.CompletedProcess[bytes]") -> bytes:
        if done.returncode:
            raise self._refused(
                done.stderr.decode(errors="replace"), done.stdout.decode(errors="replace")
            )
        return done.stdout

    def _refused(self, *told: str) -> Refused:
        said = "\n".join(told)
        why = next((why for why, words in _SAID if re.search(words, said)), "fails")
        settings = self._settings
        place = settings.branch.place if why in ("meanwhile", "declined") else settings.remote.place
        what = Said(
            f"stores.git_{why}", remote=str(settings.remote), branch=str(settings.branch),
            said=_own_words(said),
        )  # fmt: skip
        return refused_at(place, what, Said(f"stores.git_{why}_mend", remote=str(settings.remote)))


def _own_words(said: str) -> str:
    """What git said that is worth reading, in one line without its full stop."""
    lines = dict.fromkeys(line.strip() for line in said.splitlines())
    worth = [line for line in lines if line and not _IDLE.match(line)]
    return " / ".join(worth)[:400].rstrip(".")


def _environment() -> dict[str, str]:
    """The maker's environment without what points git at other repositories."""
    kept = {name: value for name, value in os.environ.items()
            if not name.startswith("GIT_") or name in _KEPT}  # fmt: skip
    return kept | {"LC_ALL": "C", "LANGUAGE": "C", "GIT_TERMINAL_PROMPT": "0"}
