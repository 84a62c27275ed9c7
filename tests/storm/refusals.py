"""The system refuses: a full disk at any operation or any size, a disk that fails, a quota.

In: a command whose undisturbed run is known. Out: accidents for it; or what did not hold on a
small disk of memory (Linux, as root) that has so many bytes left.
"""

from __future__ import annotations

import errno
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

from runs import UNDISTURBED, Accident
from trials import Trial

PAGE = 4096
ROOM = (0, 1, 2, 4, 8, 16, 40, 100, 250)  # pages that are free
OTHERS = (errno.EDQUOT, errno.EROFS, errno.EACCES, errno.EIO, errno.EFBIG)


def refusals(trial: Trial) -> Iterator[Accident]:
    """A disk that is full from each operation on; from some on, one that fails otherwise."""
    count = len(trial.operations)
    yield from (Accident("refuse", at) for at in range(1, count + 1))
    for turn, number in enumerate(OTHERS):
        steps = range(1 + turn, count + 1, max(1, count // 5))
        yield from (Accident("refuse", at, number, full=False) for at in steps)


class SmallDisk:
    """A disk of memory, as large as is said; use it with `with`."""

    def __init__(self, place: Path) -> None:
        self.place = place

    def __enter__(self) -> SmallDisk:
        self.place.mkdir(parents=True, exist_ok=True)
        done = _mount("-t", "tmpfs", "-o", "size=64m", "storm", str(self.place))
        if done.returncode:
            raise PermissionError(done.stderr.strip())
        return self

    def __exit__(self, *_: object) -> None:
        subprocess.run(["umount", "-l", str(self.place)], check=False)

    def leave(self, room: int) -> None:
        """As large as what lies there, and so many bytes more."""
        size = shutil.disk_usage(self.place).used + room
        assert _mount("-o", f"remount,size={max(size, PAGE)}", str(self.place)).returncode == 0


def _mount(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(["mount", *words], capture_output=True, text=True, check=False)


def small_disk_faults(trial: Trial, disk: SmallDisk, pages: int) -> list[str]:
    """A command on a disk that has so many pages left, and once more when there is room."""
    home = disk.place / "home"
    try:
        shutil.copytree(trial.home, home, symlinks=True)
        (home / ".tmp").mkdir(exist_ok=True)
        disk.leave(pages * PAGE)
        ended = trial.homes.runner.run(home, *trial.command.words)
        faults = list(trial.faults_of(ended, UNDISTURBED, home))
        disk.leave(32_000_000)
        faults += trial.again(home)
        return [f"{trial.command}, {pages} pages of {PAGE} bytes left: {each}" for each in faults]
    finally:
        disk.leave(64_000_000)
        shutil.rmtree(home, ignore_errors=True)
