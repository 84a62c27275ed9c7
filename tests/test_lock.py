"""One run at a time: two real processes."""

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
