"""Servers that tests of publishing start: OpenSSH's own sshd on loopback, and a line with delay.

Both are bound to 127.0.0.1, end with the tests, and need nothing but a user's own rights. In CI a
server that is missing is a failure, elsewhere the test is skipped with the reason.
"""

from __future__ import annotations

import asyncio
import getpass
import os
import shutil
import socket
import subprocess
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

import pytest

SSHD = "/usr/sbin/sshd"
_CONFIG = """\
ListenAddress 127.0.0.1
Port {port}
HostKey {home}/host_key
AuthorizedKeysFile {home}/authorized_keys
PidFile {home}/sshd.pid
PasswordAuthentication no
KbdInteractiveAuthentication no
UsePAM no
StrictModes no
MaxStartups 100
MaxSessions 100
Subsystem sftp internal-sftp
"""


@dataclass(frozen=True)
class Sshd:
    """A running sshd, what logs in there, and a folder below which it may write."""

    port: int
    user: str
    key: Path
    known_hosts: Path
    folder: Path


def need(program: str) -> str:
    """The path of a program; the test fails in CI and is skipped elsewhere where it is missing."""
    found = shutil.which(program) or (program if os.access(program, os.X_OK) else None)
    if not found and os.environ.get("CI"):
        pytest.fail(f"{program} is missing")
    if not found:
        pytest.skip(f"{program} is not installed")
    return str(found)


def make_key(path: Path) -> Path:
    """A key pair without a pass-phrase."""
    words = ("-q", "-t", "ed25519", "-N", "", "-C", "for tests", "-f", str(path))
    subprocess.run([need("ssh-keygen"), *words], check=True)
    return path


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def answers(port: int, process: subprocess.Popen[bytes], seconds: float = 10.0) -> bool:
    """Whether a server that was started takes connections within a time."""
    waiting = threading.Event()
    for _ in range(int(seconds / 0.02)):
        with suppress(OSError), socket.create_connection(("127.0.0.1", port), 1.0):
            return True
        if process.poll() is not None:
            return False
        waiting.wait(0.02)
    return False


def line_of(key: Path, port: int) -> str:
    """A line of known_hosts for a public host key."""
    kind, body = key.with_suffix(".pub").read_text().split()[:2]
    return f"[127.0.0.1]:{port} {kind} {body}\n"


@contextmanager
def running_sshd(home: Path, *, port: int | None = None) -> Iterator[Sshd]:
    """An sshd of one's own below `home`."""
    sshd = need(SSHD)
    if os.geteuid() == 0:
        Path("/run/sshd").mkdir(mode=0o755, exist_ok=True)
    port = port or free_port()
    host_key, key = make_key(home / "host_key"), make_key(home / "key")
    shutil.copy(key.with_suffix(".pub"), home / "authorized_keys")
    (home / "known_hosts").write_text(line_of(host_key, port))
    (home / "sshd_config").write_text(_CONFIG.format(port=port, home=home))
    (home / "served").mkdir()
    with (home / "log").open("wb") as log:
        words = [sshd, "-D", "-e", "-f", str(home / "sshd_config")]
        # From 9.8 on an address that failed (as tests do) is kept out for a while, unless:
        lenient = ["-o", "PerSourcePenalties=no"]
        knows = subprocess.run([*words, *lenient, "-t"], stderr=log, check=False).returncode == 0
        words += lenient if knows else []
        process = subprocess.Popen(words, stdout=log, stderr=log)
    try:
        assert answers(port, process), (home / "log").read_text()
        yield Sshd(port, getpass.getuser(), key, home / "known_hosts", home / "served")
    finally:
        process.terminate()
        process.wait(10)


@pytest.fixture(scope="session")
def sshd(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Sshd]:
    """One sshd for all tests of a worker."""
    with running_sshd(tmp_path_factory.mktemp("sshd")) as running:
        yield running


@contextmanager
def delayed(port: int, seconds: float, *, cut_after: int | None = None) -> Iterator[int]:
    """A port that leads to another, every byte late by `seconds` each way (a round trip takes twice
    that); `cut_after` so many bytes sent there the line is cut, once and for all."""
    loop = asyncio.new_event_loop()
    line = _Line(port, seconds, cut_after)
    server = loop.run_until_complete(asyncio.start_server(line.join, "127.0.0.1", 0))
    thread = threading.Thread(target=loop.run_forever, daemon=True)
    thread.start()

    async def end() -> None:
        server.close()
        tasks = asyncio.all_tasks() - {asyncio.current_task()}
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)

    try:
        yield server.sockets[0].getsockname()[1]
    finally:
        asyncio.run_coroutine_threadsafe(end(), loop).result(10)
        loop.call_soon_threadsafe(loop.stop)
        thread.join(10)
        loop.close()


class _Line:
    """The two directions between a port and another."""

    def __init__(self, port: int, seconds: float, cut_after: int | None) -> None:
        self.port, self.seconds, self.cut_after, self.sent = port, seconds, cut_after, 0

    async def join(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        try:
            there, back = await asyncio.open_connection("127.0.0.1", self.port)
        except OSError:
            writer.close()
            return
        ways = (self._carry(reader, back, True), self._carry(there, writer, False))
        with suppress(asyncio.CancelledError, OSError):
            await asyncio.gather(*ways)
        for each in (back, writer):
            each.close()

    async def _carry(
        self, source: asyncio.StreamReader, target: asyncio.StreamWriter, is_out: bool
    ) -> None:
        loop = asyncio.get_running_loop()
        late: asyncio.Queue[tuple[float, bytes]] = asyncio.Queue()

        async def deliver() -> None:
            while True:
                due, data = await late.get()
                if (wait := due - loop.time()) > 0:
                    await asyncio.sleep(wait)
                if not data:
                    target.close()
                    return
                target.write(data)
                await target.drain()

        delivering = asyncio.ensure_future(deliver())
        while data := await source.read(65536):
            self.sent += len(data) if is_out else 0
            if self.cut_after is not None and self.sent > self.cut_after:
                target.transport.abort()
                break
            late.put_nowait((loop.time() + self.seconds, data))
        late.put_nowait((loop.time() + self.seconds, b""))
        await delivering
