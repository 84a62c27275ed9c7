"""Workers: each executor ends its own processes, and no other's; one that is forked beside us."""

import os
import threading
import time

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


def test_a_process_with_threads_is_not_forked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(threading, "active_count", lambda: 2)
    with beside(lambda: b"made") as theirs:
        assert theirs() == b""
