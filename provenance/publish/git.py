"""The branch of a git remote as a place that changes whole: one commit upon the last.

In: `records.publishing.Git`, all files of the site. Out: the branch holds them; what else lies on
it stays (CNAME, a README). The commit is made of its bytes alone (git fast-import) in a store of
our own in the platform's cache: no repository of the maker's is opened, no hook runs, no setting is
written. The push says what the branch held when we looked (--force-with-lease) and is upon it, so
nothing of anyone's is ever lost. Files that stay the same take no room in its history.
"""

import hashlib
import os
import re
import shutil
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress

from provenance.build.cache import cache_path
from provenance.digest import digest_of
from provenance.publish.coming import folders_of
from provenance.publish.git_asking import Asking
from provenance.publish.manifest import NAME, Manifest
from provenance.publish.place import Outgoing
from provenance.publish.refused import Refused
from provenance.records.publishing import Git

_COMING = "refs/provenance/coming"
_THERE = "refs/provenance/there"
_WHO = "provenance <provenance@studio.invalid>"  # no name or address of the maker's is given away
_FILE = "100644"


@contextmanager
def git_place(settings: Git) -> Iterator["Branch"]:
    """The branch, for one publishing."""
    branch = Branch(settings)
    with branch.one_connection():
        yield branch


class Branch:
    """A `Whole`."""

    def __init__(self, settings: Git) -> None:
        self._settings = settings
        self._ref = f"refs/heads/{settings.branch}"
        store = digest_of(str(settings.remote), str(settings.branch))[:24]
        self._store = cache_path(f"publishing/git/{store}.git")
        self._git = Asking(settings, self._store)
        self.one_connection = self._git.one_connection
        self._tip = ""  # the commit that the branch shows; '' where there is no such branch
        self._lying: dict[str, str] = {}  # name -> the object of its bytes
        self._manifest: Manifest | None = None

    def manifest(self) -> Manifest:
        """What the program put there."""
        self._begin()
        self._tip = self._find_tip()
        if not self._tip:
            self._manifest = Manifest()
            return self._manifest
        if not self._git.knows(self._tip):
            words = ("--depth=1", "--no-tags", "--no-write-fetch-head", "--quiet", "--")
            remote, ref = str(self._settings.remote), f"+{self._ref}:{_THERE}"
            self._git.over_there("fetch", *words, remote, ref)
        self._lying = self._find_lying()
        held = self._lying.get(NAME)
        data = self._git.here("cat-file", "blob", held) if held else b""
        self._manifest = Manifest.of_bytes(data) if held else Manifest()
        return self._manifest

    def foreign(self, files: Sequence[Outgoing]) -> tuple[str, ...]:
        """Names of those files in whose place other bytes lie, or a folder of that name, or a file
        where they need a folder."""
        folders = folders_of(self._lying)
        return tuple(
            file.name
            for file in files
            if file.name in folders
            or any(folder in self._lying for folder in folders_of([file.name]))
            or self._is_other(file)
        )

    def send(self, files: Sequence[Outgoing], manifest: bytes) -> None:
        """Have the branch hold all these files and the manifest, and nothing else of ours."""
        there = self._manifest or self.manifest()
        coming = [file for file in files if self._lying.get(file.name) != self._object(file)]
        names = {file.name for file in files} | {NAME}
        gone = sorted({*there.files} & {*self._lying} - names)
        if coming or gone or self._lying.get(NAME) != self._object_of(manifest):
            self._git.here("fast-import", "--quiet", "--force", "--done", "--date-format=raw",
                feed=self._commit(coming, gone, manifest))  # fmt: skip
            self._push()

    def _push(self) -> None:
        lease = f"--force-with-lease={self._ref}:{self._tip}"
        self._git.over_there("push", "--atomic", "--no-verify", "--porcelain", lease, "--",
            str(self._settings.remote), f"{_COMING}:{self._ref}")  # fmt: skip
        self._git.here("update-ref", _THERE, _COMING)
        with suppress(Refused):  # it is published; our own store may stay untidy
            self._git.here("gc", "--auto", "--quiet")

    def _commit(
        self, coming: Sequence[Outgoing], gone: Sequence[str], manifest: bytes
    ) -> Iterator[bytes]:
        """The new commit as git fast-import reads it (git-fast-import(1), "Input format")."""
        now = os.environ.get("SOURCE_DATE_EPOCH") or str(int(time.time()))
        words = f"Site published: {len(coming)} new or changed, {len(gone)} gone\n".encode()
        yield (
            f"commit {_COMING}\ncommitter {_WHO} {now} +0000\ndata {len(words)}\n".encode() + words
        )
        if self._tip:
            yield f"from {self._tip}\n".encode()
        for name in gone:
            yield f"D {_quoted(name)}\n".encode()
        for file in coming:
            yield from _changed(file.name, file.path.read_bytes())
        yield from _changed(NAME, manifest)
        yield b"done\n"

    def _begin(self) -> None:
        """A store of our own; one that is spoilt is made anew."""
        if self._store.is_dir() and self._git.is_sound():
            return
        shutil.rmtree(self._store, ignore_errors=True)
        self._store.parent.mkdir(parents=True, exist_ok=True)
        self._git.outside("init", "--quiet", "--bare", "--template=", "--", str(self._store))

    def _find_tip(self) -> str:
        """What the branch shows over there."""
        told = self._git.over_there(
            "-c", "protocol.version=0", "ls-remote", "--", str(self._settings.remote), self._ref
        )  # one round trip less
        found = re.search(rf"^([0-9a-f]{{40,64}})\t{re.escape(self._ref)}$", told.decode(), re.M)
        return found[1] if found else ""

    def _find_lying(self) -> dict[str, str]:
        lines = self._git.here("ls-tree", "-r", "-z", "--full-tree", self._tip).split(b"\0")
        parts = (line.partition(b"\t") for line in lines if line)
        # a link or a repository within is no file of ours, whatever it holds
        return {
            os.fsdecode(name): head.split()[2].decode() if head.startswith(b"100") else "link"
            for head, _, name in parts
        }

    def _is_other(self, file: Outgoing) -> bool:
        return file.name in self._lying and self._lying[file.name] != self._object(file)

    def _object(self, file: Outgoing) -> str:
        return self._object_of(file.path.read_bytes())

    def _object_of(self, content: bytes) -> str:
        """What git calls these bytes (git-hash-object(1)): SHA-1, in newer stores SHA-256."""
        kind = "sha256" if len(self._tip) == 64 else "sha1"
        digest = hashlib.new(kind, b"blob %d\0" % len(content), usedforsecurity=False)
        digest.update(content)
        return digest.hexdigest()


def _changed(name: str, content: bytes) -> Iterator[bytes]:
    yield f"M {_FILE} inline {_quoted(name)}\ndata {len(content)}\n".encode()
    yield content
    yield b"\n"


def _quoted(name: str) -> str:
    """A path as git reads it, whatever signs it has."""
    escaped = name.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{escaped}"'
