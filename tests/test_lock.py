"""One run at a time: two real processes."""

import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from provenance.language.phrases import british
from provenance.lock import LOCK_NAME, lock
from provenance.problems import Slip

tell = british().tell

ROOT = Path(__file__).parents[1]
HOLD = """
import sys, time
from pathlib import Path
from provenance.lock import lock
with lock(Path(sys.argv[1]), "build"):
    print("mine", flush=True)
    time.sleep(float(sys.argv[2]))
"""


@pytest.fixture
def holder(tmp_path):
    started = []

    def start(seconds):
        process = subprocess.Popen(
            [sys.executable, "-c", HOLD, str(tmp_path), str(seconds)],
            cwd=ROOT,
            stdout=subprocess.PIPE,
            text=True,
        )
        started.append(process)
        assert process.stdout.readline() == "mine\n"
        return process

    yield start
    for process in started:
        process.kill()
        process.communicate()


def test_the_second_run_says_who_is_at_work(tmp_path, holder):
    process = holder(60)
    with pytest.raises(Slip) as caught, lock(tmp_path, "tags", wait=0.2):
        pass
    said = re.sub(r"since \d\d:\d\d", "since TIME", tell(caught.value.what))
    assert said == (f"'build' (process {process.pid}, since TIME) is at work in {tmp_path.name}/")
    assert tell(caught.value.remedy) == "let it finish, then run again"


def test_the_second_run_waits_its_turn(tmp_path, holder):
    holder(0.5)
    began = time.monotonic()
    with lock(tmp_path, "tags", wait=20):
        assert time.monotonic() - began > 0.2


def test_a_killed_run_holds_nothing_up(tmp_path, holder):
    process = holder(60)
    process.send_signal(signal.SIGKILL)
    process.wait()
    with lock(tmp_path, "tags", wait=1):
        assert (tmp_path / LOCK_NAME).read_bytes().endswith(b" tags")
    assert (tmp_path / LOCK_NAME).read_bytes() == b""


def test_the_same_process_cannot_take_it_twice(tmp_path):
    with lock(tmp_path, "build"), pytest.raises(Slip), lock(tmp_path, "tags", wait=0):
        pass
    with lock(tmp_path, "tags", wait=0):
        pass


def test_a_folder_that_cannot_be_written_can_be_locked(tmp_path):
    # A file where a folder should be: nobody, not even root, can put a lock file inside.
    (tmp_path / "file").write_bytes(b"")
    folder = tmp_path / "file" / "studio"
    with lock(folder, "build"), pytest.raises(Slip), lock(folder, "tags", wait=0):
        pass


def test_where_no_file_can_be_written_at_all_it_is_told(tmp_path, monkeypatch):
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "nowhere" / "tmp"))
    (tmp_path / "nowhere").write_bytes(b"")
    with pytest.raises(Slip) as caught, lock(tmp_path / "nowhere" / "studio", "build"):
        pass
    assert tell(caught.value.what) == (
        "neither studio/ nor the system's place for passing files can be written: Not a directory"
    )
    assert tell(caught.value.remedy) == "make room, or allow writing there, and run again"


WORKING = """
import sys, time
from pathlib import Path
from provenance.lock import lock
from provenance.workers import workers
with lock(Path(sys.argv[1]), "build"), workers(2, afresh=sys.argv[2] == "afresh") as pool:
    at_work = [pool.submit(time.sleep, 60) for _ in range(2)]
    pids = list(pool._processes)
    print(*pids, flush=True)
    time.sleep(60)
"""


def _is_alive(pid):
    try:
        state = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
    except OSError:
        return False
    return state != "Z"


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="needs /proc to see processes")
@pytest.mark.parametrize("how", ["forked", "afresh"])
def test_workers_of_a_killed_run_let_go_of_the_folder_and_end(tmp_path, how):
    script = tmp_path / "working.py"  # workers started afresh read their parent's own file
    script.write_text(
        "if __name__ == '__main__':\n" + "".join(f"    {line}\n" for line in WORKING.splitlines())
    )
    with subprocess.Popen(
        [sys.executable, script, tmp_path, how],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        pids = [int(each) for each in process.stdout.readline().split()]
        assert len(pids) == 2
        time.sleep(0.5)
        assert all(map(_is_alive, pids))
        process.kill()  # the parent alone, as a careful `kill -9 PID` does
    with lock(tmp_path, "tags", wait=2):
        pass
    until = time.monotonic() + 10
    while any(map(_is_alive, pids)) and time.monotonic() < until:
        time.sleep(0.05)
    assert not any(map(_is_alive, pids))


def test_a_run_that_is_gone_is_said_to_be_gone(tmp_path, holder):
    """What it started may hold the folder still, or its number be one of another machine."""
    holder(60)
    with subprocess.Popen([sys.executable, "-c", ""]) as ended:
        pass
    path = tmp_path / LOCK_NAME
    with path.open("r+b") as file:
        file.write(f" {ended.pid} build".encode())
        file.truncate()
    with pytest.raises(Slip) as caught, lock(tmp_path, "tags", wait=0.2):
        pass
    said = re.sub(r"since \d\d:\d\d", "since TIME", tell(caught.value.what))
    assert said == (
        f"'build' (process {ended.pid}, since TIME) runs no more on this machine, but something "
        f"still holds {tmp_path.name}/"
    )
    assert tell(caught.value.remedy) == (
        "end what it started, or its run on another machine that shares the folder, and run "
        f"again; {path} itself can stay"
    )


@pytest.mark.parametrize("number", ["1", "4" * 30, "x"])
def test_another_users_run_or_none_is_not_looked_for_too_closely(tmp_path, holder, number):
    holder(60)
    (tmp_path / LOCK_NAME).write_text(f" {number} build")
    with pytest.raises(Slip) as caught, lock(tmp_path, "tags", wait=0.1):
        pass
    assert ("runs no more" in tell(caught.value.what)) == (len(number) == 30)


def test_a_full_disk_takes_nobodys_turn(tmp_path, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "write", full)
    with lock(tmp_path, "tags", wait=0):
        pass
