"""One run at a time in a folder.

In: the folder to be worked in and the command that wants to. Out: a turn, or a Slip that names the
run that has it. An advisory lock of the system (flock; on Windows a locked byte), which the system
lets go of when a run ends, however it ends. The lock file holds who is at work, and stays empty
otherwise; `output` is the only other module that writes.
"""

from __future__ import annotations

import hashlib
import os
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from provenance.problems import Slip

LOCK_NAME = ".provenance.lock"


@contextmanager
def lock(folder: Path, command: str, *, wait: float = 10.0) -> Iterator[None]:
    """Let one run at a time work in a folder; Slip, after `wait` seconds, names the other one."""
    with _lock_file(folder) as file:
        give_up = time.monotonic() + wait
        while not _taken(file):
            if time.monotonic() > give_up:
                raise Slip(*_who(file, folder))
            time.sleep(0.05)
        file.truncate(0)
        file.write(f"{os.getpid()} {command}".encode())
        file.flush()
        try:
            yield
        finally:
            file.truncate(0)


def _lock_file(folder: Path) -> IO[bytes]:
    """Inside the folder, or, where that is read-only, in the system's own place for such files."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        return (folder / LOCK_NAME).open("a+b")
    except OSError:
        digest = hashlib.sha256(os.fsencode(folder.resolve())).hexdigest()[:16]
        return Path(tempfile.gettempdir(), f"provenance-{digest}.lock").open("a+b")


def _taken(file: IO[bytes]) -> bool:
    try:
        if sys.platform == "win32":
            import msvcrt

            file.seek(2**30)  # far from the words, which the others must be able to read
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def _who(file: IO[bytes], folder: Path) -> tuple[str, str]:
    file.seek(0)
    process, _, command = file.read(200).decode("utf-8", "replace").partition(" ")
    since = time.strftime("%H:%M", time.localtime(os.fstat(file.fileno()).st_mtime))
    said = f"'{command}' (process {process}, since {since})" if process else "another run"
    return f"{said} is at work in {folder.name}/", "let it finish, then run again"
