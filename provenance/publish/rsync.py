"""A folder that rsync reaches by SSH, where both machines have rsync.

In: `records.publishing.Host`. Out: a `Place`. Order and manifest are those of every place: each
step is a run of its own with the list of its files; what goes is named file by file. All runs share
one connection. rsync writes a file beside its place and moves it there (its manual page,
--inplace), and clears away what it was writing when the line breaks. From far away each run takes
half a second: where the host knows SFTP as well, the list, what goes away and a few files take that
way, and rsync what is much.
"""

import asyncio
import re
import shlex
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from os import environ
from pathlib import Path

from provenance.problems import Said
from provenance.publish.coming import folders_of, levels
from provenance.publish.hosts import denied, known_hosts_files, no_answer, unknown_host
from provenance.publish.manifest import NAME, Manifest
from provenance.publish.place import Outgoing, Told, is_little
from provenance.publish.refused import Refused
from provenance.publish.sftp import SftpPlace, sftp_place
from provenance.records.publishing import Host

_PATIENCE = 30  # seconds for a machine to answer
_SILENT = 120  # seconds without a byte
_LACKING = ("--delete-missing-args", "--no-implied-dirs", "--dirs")
# Exit codes of rsync's manual page, "EXIT VALUES", that mean a line that broke.
_LINE = (10, 12, 20, 30, 35, 255, -15)
# What ssh itself complains of (its source: "Permission denied (publickey)."; of a file rsync says
# "Permission denied (13)"). Its exit code 255 is no sign: rsync says 12 where it sees the line end
# before it sees ssh end.
_KEPT_OUT = re.compile(r"permission denied \((?!\d)")
_NO_ANSWER = re.compile(
    r"^(?:ssh: .*(?:resolve|refused|timed out|no route|unreachable)|connection (?:to .*)?timed out)"
    r".*$", re.M
)  # fmt: skip
Heard = Callable[[str], object]  # gets each line that rsync says


def _unheard(line: str) -> None:
    """Nobody listens."""


@contextmanager
def rsync_place(host: Host) -> Iterator["RsyncPlace"]:
    """The place; its one connection is closed when the block ends."""
    for program in ("rsync", "ssh"):
        if not shutil.which(program):
            what = Said("publishing.no_program", program=program)
            raise Refused(what, Said("publishing.use_sftp"))
    # A name as short as can be: the path of a socket has 104 letters at most (macOS).
    with tempfile.TemporaryDirectory(prefix="pv-") as aside:
        place = RsyncPlace(host, Path(aside))
        try:
            with ExitStack() as open_until_then:
                with suppress(Refused):  # else rsync says why, in its words, or can do without
                    place.beside = open_until_then.enter_context(sftp_place(host))
                yield place
        finally:
            place.close()


class RsyncPlace:
    """A folder behind rsync."""

    def __init__(self, host: Host, aside: Path) -> None:
        self.host, self.aside = host, aside
        (aside / "none").mkdir()
        self.beside: SftpPlace | None = None  # the same folder by SFTP
        self._brought: set[str] = set()
        self._known: set[str] = set()  # what lies there of ours
        self._has_run = False
        user = f"{host.user}@" if host.user else ""
        name = f"[{host.host}]" if ":" in host.host else str(host.host)
        folder = str(host.folder).rstrip("/").removeprefix("~/")
        self.root = f"{user}{name}:{folder}/" if folder != "~" else f"{user}{name}:"

    def close(self) -> None:
        """Hang up."""
        if not self._has_run:
            return
        words = [*self._ssh(), "-O", "exit", str(self.host.host)]
        subprocess.run(words, capture_output=True, check=False, timeout=_PATIENCE)

    def manifest(self) -> Manifest:
        there = self._by_sftp() or self._by_rsync()
        self._known = set(there.files)
        return there

    def _by_sftp(self) -> Manifest | None:
        """None where SFTP shows another folder, or none: rsync looks then."""
        try:
            found = self.beside.manifest() if self.beside else Manifest()
        except Refused:
            found = Manifest()
        if not found.files:
            self.beside = None
        return found if self.beside else None

    def _by_rsync(self) -> Manifest:
        found = self.aside / NAME
        code, told = self._rsync([self.root + NAME, str(found)])
        if code == 23 and "no such file" in told.lower():
            self._look_for_folder()
            return Manifest()
        self._refuse(code, told, NAME)
        return Manifest.of_bytes(found.read_bytes())

    def foreign(self, files: Sequence[Outgoing]) -> tuple[str, ...]:
        if self.beside and is_little(files):
            return self.beside.foreign(files)
        names: list[str] = []
        looking = ["--dry-run", "--checksum", "--existing", "--out-format=%n"]
        self._send(files, looking, names.append)
        return tuple(name for name in names if not name.endswith("/"))

    def bring(self, files: Sequence[Outgoing], manifest: bytes) -> None:
        if self.beside:
            self.beside.bring(files, manifest)
            self._brought = {file.name for file in files}

    def put(self, files: Sequence[Outgoing], told: Told) -> None:
        names = {file.name for file in files}
        self._known |= names
        if self.beside and names <= self._brought:
            self.beside.put(files, told)
        else:
            self._send(files, ["--ignore-times", "--out-format=%n"],
                       lambda name: told(1) if name in names else None)  # fmt: skip

    def put_manifest(self, data: bytes) -> None:
        if self.beside:
            self.beside.put_manifest(data)
            return
        (self.aside / NAME).write_bytes(data)
        code, told = self._rsync(["--ignore-times", str(self.aside / NAME), self.root])
        self._refuse(code, told, NAME)

    def remove(self, names: Sequence[str]) -> None:
        """What an empty folder lacks is taken away there; of folders those that hold nothing of
        ours any more, the deepest first, and only where they are empty."""
        if self.beside:
            self.beside.remove(names)
            return
        self._known -= set(names)
        none = self.aside / "none"
        for folder in folders_of(names):  # rsync wants the folders of what is lacking
            (none / folder).mkdir(parents=True, exist_ok=True)
        code, told = self._listed(_LACKING, none, names)
        self._refuse(code, told, names[0])
        shutil.rmtree(none)
        none.mkdir()
        for level in reversed(levels(folders_of(names) - folders_of(self._known))):
            self._listed(_LACKING, none, level)

    def _send(self, files: Sequence[Outgoing], words: Sequence[str], heard: Heard) -> None:
        if files:
            site = Path(str(files[0].path).removesuffix(files[0].name))
            code, told = self._listed(words, site, [file.name for file in files], heard)
            self._refuse(code, told, files[0].name)

    def _listed(
        self, words: Sequence[str], source: Path, names: Sequence[str], heard: Heard = _unheard
    ) -> tuple[int, str]:
        listed = self.aside / "names"
        listed.write_bytes(b"".join(name.encode() + b"\0" for name in names))
        from_list = ["--from0", f"--files-from={listed}"]
        return self._rsync([*words, *from_list, f"{source}/", self.root], heard)

    def _rsync(self, words: Sequence[str], heard: Heard = _unheard) -> tuple[int, str]:
        """Run rsync: its exit code and what it complained of; `heard` gets each line it said."""
        self._has_run = True
        way = shlex.join(self._ssh())
        always = ["-s", "-z", "-8", f"--timeout={_SILENT}", "-e", way]
        with tempfile.TemporaryFile() as complaints, subprocess.Popen(
            ["rsync", *always, *words], stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
            stderr=complaints, env={**environ, "LC_ALL": "C"},
        ) as running:  # fmt: skip
            for line in running.stdout or ():
                heard(line.decode("utf-8", "replace").rstrip("\n"))
            running.wait()
            complaints.seek(0)
            return running.returncode, complaints.read().decode("utf-8", "replace")

    def _ssh(self) -> list[str]:
        """ssh with the maker's settings, our one connection, and no trust on first sight."""
        host = self.host
        said = ["BatchMode=yes", "StrictHostKeyChecking=yes", f"ConnectTimeout={_PATIENCE}"]
        said += ["ControlMaster=auto", f"ControlPath={self.aside}/line", "ControlPersist=60"]
        if files := known_hosts_files(host):
            said.append("UserKnownHostsFile=" + " ".join(f'"{file}"' for file in files))
        words = [word for each in said for word in ("-o", each)]
        words += ["-p", str(host.port)] if host.port else []
        words += ["-l", str(host.user)] if host.user else []
        words += ["-i", str(host.key)] if host.key else []
        return ["ssh", *words]

    def _look_for_folder(self) -> None:
        code, told = self._rsync(["--dirs", self.root])
        if code == 23 and "no such file" in told.lower():
            what = Said("publishing.no_folder", folder=str(self.host.folder))
            raise Refused(what, Said("publishing.make_folder"))
        self._refuse(code, told, NAME)

    def _refuse(self, code: int, told: str, name: str) -> None:
        """Refused in words for an exit code that is not 0."""
        if code:
            raise self._refusal(code, told.lower(), name)

    def _refusal(self, code: int, told: str, name: str) -> Refused:
        host = str(self.host.host)
        if "host key verification failed" in told:
            return asyncio.run(unknown_host(self.host))
        if _KEPT_OUT.search(told):
            return denied(self.host)
        if "not found" in told and code in (12, 127):
            what = Said("publishing.no_program_there", host=host)
            return Refused(what, Said("publishing.use_sftp"))
        if "no space left" in told or "quota exceeded" in told:
            what = Said("publishing.full", file=Said("publishing.file", name=name))
            return Refused(what, Said("publishing.make_room"))
        if "permission denied" in told or "read-only file system" in told:
            what = Said("publishing.may_not", name=name, host=host)
            return Refused(what, Said("publishing.allow_there"))
        if never_there := _NO_ANSWER.search(told):
            return no_answer(self.host, never_there[0].strip())
        if code in _LINE:
            return Refused(Said("publishing.lost", host=host), Said("publishing.again"))
        what = Said("publishing.fails_there", host=host, why=_last(told) or f"rsync {code}")
        return Refused(what, Said("publishing.again"))


def _last(told: str) -> str:
    lines = [line for line in told.splitlines() if line.strip()]
    return lines[0][:200] if lines else ""
