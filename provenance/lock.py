"""One run at a time in a folder.

In: the folder to be worked in and the command that wants to. Out: a turn, or a Slip that names the
run that has it. An advisory lock of the system, which lets go of it when a run ends, however it
ends. The lock file holds who is at work, and stays empty otherwise; `output` is the only other
module that writes. The only door to filelock.
"""

import hashlib
import os
import tempfile
import time
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from typing import Any

from provenance.problems import Said, Slip
from provenance.workers import not_inherited

LOCK_NAME = ".provenance.lock"


@contextmanager
def lock(folder: Path, command: str, *, wait: float = 10.0) -> Iterator[None]:
    """Let one run at a time work in a folder; Slip, after `wait` seconds, names the other one."""
    try:
        turn, file = _turn(folder / LOCK_NAME, folder, wait)
    except OSError:  # a read-only folder: the system's own place for such files
        digest = hashlib.sha256(os.fsencode(folder.resolve())).hexdigest()[:16]
        path = Path(tempfile.gettempdir(), f"provenance-{digest}.lock")
        turn, file = _turn(path, folder, wait)
    with turn, not_inherited(file):
        os.ftruncate(file, 0)
        os.write(file, f" {os.getpid()} {command}".encode())
        try:
            yield
        finally:
            os.ftruncate(file, 0)


def _turn(path: Path, folder: Path, wait: float) -> tuple[AbstractContextManager[Any], int]:
    """The lock once it is ours, and the open file that holds it."""
    from filelock import FileLock, Timeout

    held: list[int] = []
    try:
        turn = FileLock(path, on_acquired=held.append).acquire(timeout=wait)
    except Timeout:
        raise Slip(_who(path, folder), Said("lock.wait")) from None
    return turn, held[0]


def _who(path: Path, folder: Path) -> Said:
    with path.open("rb") as file:
        file.seek(1)  # Windows keeps the first byte, which is locked, from the others
        process, _, command = file.read(200).decode("utf-8", "replace").partition(" ")
        since = time.strftime("%H:%M", time.localtime(os.fstat(file.fileno()).st_mtime))
    if not process:
        return Said("lock.another", folder=folder.name)
    values = {"command": command, "process": process, "since": since}
    return Said("lock.at_work", folder=folder.name, **values)
