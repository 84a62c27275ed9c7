"""Workers: each executor ends its own processes, and no other's; one that is forked beside us."""

import os
import signal
import threading
import time
from pathlib import Path

import pytest

from provenance.workers import beside, workers


def test_one_that_ends_leaves_the_others_at_work():
    with workers(1) as outer:
        with workers(1) as inner:
            first = outer.submit(os.getpid).result()
            inner.submit(os.getpid).result()
        assert outer.submit(os.getpid).result() == first


def test_what_is_made_beside_us_comes_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(threading, "active_count", lambda: 1)
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    with beside(lambda: b"%d" % os.getpid() + b"x" * 1_000_000) as theirs:
        made = theirs()
    assert made.endswith(b"x" * 1_000_000)
    assert made.strip(b"x") not in (b"", b"%d" % os.getpid())
    with beside(lambda: b"%d" % (1 // 0)) as theirs:
        assert theirs() == b""


def test_nobody_waits_for_what_is_not_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(threading, "active_count", lambda: 1)
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    start = time.monotonic()
    with pytest.raises(KeyError), beside(lambda: time.sleep(60) or b""):
        raise KeyError
    assert time.monotonic() - start < 30


@pytest.mark.parametrize("what", ["fork", "pipe"])
def test_where_nothing_can_be_forked_who_asked_does_it(
    monkeypatch: pytest.MonkeyPatch, what: str
) -> None:
    """fork(2), pipe(2): EAGAIN at the limit of processes, EMFILE at that of files."""

    def refused() -> None:
        raise BlockingIOError(11, "Resource temporarily unavailable")

    monkeypatch.setattr(threading, "active_count", lambda: 1)
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    monkeypatch.setattr(os, what, refused)
    open_files = Path("/proc/self/fd")  # Linux alone tells them
    before = {*open_files.glob("*")}
    with beside(lambda: b"made") as theirs:
        assert theirs() == b""
    assert {*open_files.glob("*")} <= before


def test_where_nobody_is_told_of_children_that_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """wait(2): with SIGCHLD ignored there is no child to wait for."""
    monkeypatch.setattr(threading, "active_count", lambda: 1)
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    before = signal.signal(signal.SIGCHLD, signal.SIG_IGN)
    try:
        with beside(lambda: b"made") as theirs:
            assert theirs() == b"made"
    finally:
        signal.signal(signal.SIGCHLD, before)


def test_a_process_with_threads_is_not_forked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(threading, "active_count", lambda: 2)
    with beside(lambda: b"made") as theirs:
        assert theirs() == b""
