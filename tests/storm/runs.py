"""Asking for runs of the program that meet an accident, and hearing how they ended.

In: a home (`pieces/`, `site/` beside it, `.cache` with its letters and pictures), the words of a
command, an accident. Out: an `Ended`. One `Runner` is one loaded program (see `child`).
"""

from __future__ import annotations

import contextlib
import errno
import json
import os
import signal
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
DAY = "1795608000"  # 2026-11-25
HANG = 120.0  # seconds, on a machine that does much else


@dataclass(frozen=True, slots=True)
class Accident:
    """What happens: `count` nothing; `parent` or `group` is killed before operation `at`; `cut`:
    from there on killed in the middle of a write, at byte `size`; `refuse`: from operation `at` on
    the system refuses with `errno`, a `full` disk only what takes room."""

    how: str = "count"
    at: int = 0
    errno: int = errno.ENOSPC
    full: bool = True
    size: int = 0

    @property
    def is_killing(self) -> bool:
        return self.how in ("parent", "group", "cut")

    def __str__(self) -> str:
        if self.how == "refuse":
            return f"{errno.errorcode[self.errno]} from operation {self.at} on"
        if self.how == "cut":
            return f"killed at byte {self.size} of a file, from operation {self.at} on"
        return f"{self.how} killed at operation {self.at}" if self.how != "count" else "undisturbed"


UNDISTURBED = Accident()


@dataclass(frozen=True, slots=True)
class Ended:
    """How a run ended: its exit code (below 0: the signal), what it said, what it did to files."""

    pid: int
    code: int
    said: str
    did: list[str]
    hangs: bool

    @property
    def is_killed(self) -> bool:
        return self.code in (-signal.SIGKILL, -signal.SIGXFSZ)

    def clear(self) -> None:
        """End workers that are still there."""
        with contextlib.suppress(OSError):
            os.killpg(self.pid, signal.SIGKILL)


class Runner:
    """The program, loaded once; each call is a fork of it."""

    def __init__(self) -> None:
        env = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1",
               "OPENBLAS_NUM_THREADS": "1"}  # fmt: skip
        child = str(Path(__file__).with_name("child.py"))
        self.process = subprocess.Popen(
            [sys.executable, "-W", "ignore::DeprecationWarning", child],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=env,
        )  # fmt: skip

    def __enter__(self) -> Runner:
        return self

    def __exit__(self, *_: object) -> None:
        self.process.communicate()

    def run(
        self,
        home: Path,
        *words: str,
        accident: Accident = UNDISTURBED,
        is_bound: bool = False,
        **env: str,
    ) -> Ended:
        """One command in a home; `env` on top of the demo's day and the home's cache."""
        said = {"PATH": os.environ["PATH"], "HOME": str(home), "TMPDIR": str(home / ".tmp"),
                "SOURCE_DATE_EPOCH": DAY, "XDG_CACHE_HOME": str(home / ".cache"),
                "LC_ALL": "C.UTF-8", "COLUMNS": "100", **env}  # fmt: skip
        wish: dict[str, Any] = {
            "cwd": str(home), "words": words, "env": {n: v for n, v in said.items() if v},
            "how": accident.how, "at": accident.at, "errno": accident.errno,
            "full": accident.full, "size": accident.size, "most": HANG, "is_bound": is_bound,
        }  # fmt: skip
        (home / ".tmp").mkdir(exist_ok=True)
        assert self.process.stdin is not None and self.process.stdout is not None
        self.process.stdin.write(json.dumps(wish) + "\n")
        self.process.stdin.flush()
        return Ended(**json.loads(self.process.stdout.readline()))
