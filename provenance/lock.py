"""One run at a time in a folder.

In: the folder to be worked in and the command that wants to. Out: a turn, or a Slip that names the
run that has it. An advisory lock of the system, which lets go of it when a run ends, however it
ends. The lock file holds who is at work, and stays empty otherwise; `output` is the only other
module that writes. While a folder is worked in, `output` follows no link that leads out of it.
The only door to filelock.
"""

import hashlib
import os
import stat
import tempfile
import time
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, suppress
from pathlib import Path
from typing import Any

from provenance.problems import Said, Slip
from provenance.workers import not_inherited

LOCK_NAME = ".provenance.lock"
_WORKED_IN: list[Path] = []


@contextmanager
def lock(folder: Path, command: str, *, wait: float = 10.0) -> Iterator[None]:
    """Let one run at a time work in a folder; Slip, after `wait` seconds, names the other one."""
    try:
        turn, file = _turn(folder / LOCK_NAME, folder, wait)
    except OSError as error:
        turn, file = _turn_elsewhere(folder, wait, error)
    with turn, not_inherited(file), _work_in(folder):
        with suppress(OSError):  # a full disk: who is at work stays untold
            os.ftruncate(file, 0)
            os.write(file, f" {os.getpid()} {command}".encode())
        try:
            yield
        finally:
            with suppress(OSError):
                os.ftruncate(file, 0)


def folder_worked_in(path: Path) -> Path | None:
    """The folder in which this run has its turn and in which a path lies, as it is written."""
    here = Path(os.path.normpath(path.absolute()))
    return next((folder for folder in _WORKED_IN if here.is_relative_to(folder)), None)


@contextmanager
def _work_in(folder: Path) -> Iterator[None]:
    before = [*_WORKED_IN]
    _WORKED_IN.extend((Path(os.path.normpath(folder.absolute())), Path(os.path.realpath(folder))))
    try:
        yield
    finally:
        _WORKED_IN[:] = before


def _turn_elsewhere(
    folder: Path, wait: float, error: OSError
) -> tuple[AbstractContextManager[Any], int]:
    """For a read-only folder: in the system's own place for such files, if it has room there."""
    digest = hashlib.sha256(os.fsencode(folder.resolve())).hexdigest()[:16]
    try:
        return _turn(Path(tempfile.gettempdir(), f"provenance-{digest}.lock"), folder, wait)
    except OSError:
        why = error.strerror or str(error)
        what = Said("lock.no_place", folder=folder.name, why=why)
        raise Slip(what, Said("lock.make_place")) from error


def _turn(path: Path, folder: Path, wait: float) -> tuple[AbstractContextManager[Any], int]:
    """The lock once it is ours, and the open file that holds it; a link is never opened, as what
    it leads to would be emptied."""
    from filelock import FileLock, Timeout

    with suppress(FileNotFoundError, NotADirectoryError):
        if not stat.S_ISREG(path.lstat().st_mode):
            raise Slip(Said("lock.no_file", file=str(path)), Said("lock.take_away"))
    held: list[int] = []
    try:
        turn = FileLock(path, on_acquired=held.append).acquire(timeout=wait)
    except Timeout:
        raise _who(path, folder) from None
    return turn, held[0]


def _who(path: Path, folder: Path) -> Slip:
    """Who is at work, and what to do; a run that is gone may have left a process of its own."""
    with path.open("rb") as file:
        file.seek(1)  # Windows keeps the first byte, which is locked, from the others
        process, _, command = file.read(200).decode("utf-8", "replace").partition(" ")
        since = time.strftime("%H:%M", time.localtime(os.fstat(file.fileno()).st_mtime))
    if not process:
        return Slip(Said("lock.another", folder=folder.name), Said("lock.wait"))
    values = {"command": command, "process": process, "since": since, "folder": folder.name}
    if _is_gone(process):
        return Slip(Said("lock.gone", **values), Said("lock.end_it", file=str(path)))
    return Slip(Said("lock.at_work", **values), Said("lock.wait"))


def _is_gone(process: str) -> bool:
    """Whether no process of this number runs here; where that can't be told, it is thought to."""
    if os.name != "posix" or not process.isdecimal():  # on Windows signal 0 would be sent
        return False
    try:
        os.kill(int(process), 0)
    except (ProcessLookupError, OverflowError):
        return True
    except PermissionError:
        pass
    return False
