"""Killed at any moment and run again it ends equal; whoever reads meanwhile meets whole pages."""

from __future__ import annotations

import multiprocessing
import random
import signal
import threading
from collections.abc import Callable
from itertools import count
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from provenance.publish import sending
from provenance.publish.sftp import SftpPlace, sftp_place
from tests.publish.a_place import held, host_of, lacking, pages, publish, served, write_site
from tests.publish.servers import Sshd

KILLS = 20
FORKS = multiprocessing.get_context("forkserver")  # one that has loaded all, without threads
FORKS.set_forkserver_preload(["pytest", "tests.publish.test_killed"])


def _send(sshd: Sshd, there: Path, site: Path, turn: int, line: Connection) -> None:
    """A run that waits to be killed, once it has told how many files are there: each put by itself,
    or all brought and then moved, or (each third run) how many lie beside their places."""

    def told(done: int) -> None:
        line.send(done)
        line.recv()

    with sftp_place(host_of(sshd, there)) as place:
        told(0)
        if turn % 3 == 0:
            sending.is_little = lambda _: False
        if turn % 3 == 2:
            told_beside(place, told)
        publish(place, site, (lambda *_: None) if turn % 3 == 2 else lambda done, _: told(done))


def told_beside(place: SftpPlace, told: Callable[[int], None]) -> None:
    fill, turns = place._fill, count(1)

    async def filled(*words: Any) -> None:
        await fill(*words)
        told(next(turns))

    place._fill = filled


def test_killed_at_random_moments(sshd: Sshd, tmp_path: Path) -> None:
    there, chance = tmp_path / "served", random.Random(16)
    there.mkdir()
    site, met, ended = tmp_path / "site", [], threading.Event()

    def read() -> None:
        while not ended.wait(0.002):
            met.extend(lacking(there))

    visitor = threading.Thread(target=read)
    visitor.start()
    files: dict[str, bytes] = {}
    try:
        with sftp_place(host_of(sshd, there)) as place:
            for turn in range(KILLS):
                files = pages(10 - turn % 3, f"mark{turn}")
                write_site(site, files)
                _killed(sshd, there, site, chance.randrange(0, 22), turn)
                if turn % 4 == 3:  # else killed again on top of it, with another site
                    publish(place, site)
                    assert held(there) == served(files), turn
            publish(place, site)
    finally:
        ended.set()
        visitor.join()
    assert held(there) == served(files)
    assert met == []


def _killed(sshd: Sshd, there: Path, site: Path, last: int, turn: int) -> None:
    """A run that is killed when so many files are there; at 0, any time before the first."""
    ours, line = FORKS.Pipe()
    child = FORKS.Process(target=_send, args=(sshd, there, site, turn, line))
    child.start()
    line.close()
    while ours.recv() < last:
        ours.send(None)
    if last == 0:
        ours.send(None)
    child.kill()
    child.join()
    assert child.exitcode == -signal.SIGKILL
