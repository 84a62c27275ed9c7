"""Runs of the program that meet an accident at a chosen operation on files.

In: a line of JSON for each run on stdin (see `runs.Wish`). Out: a line of JSON for each. The
program is loaded once; each run is a fork of this process, the leader of a session of its own, and
counts what it does to files (opened for writing, renamed, removed, linked, cut, made ...) by an
audit hook, which Python calls *before* each operation. At the chosen one it kills itself or its
session, or is refused by the system; or from there on it is killed in the middle of a write, as
soon as a file has so many bytes.
"""

from __future__ import annotations

import contextlib
import ctypes
import gc
import importlib
import json
import os
import pkgutil
import resource
import select
import signal
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

WRITES = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND
CHANGES = {"os.rename", "os.remove", "os.mkdir", "os.rmdir", "os.link", "os.symlink",
           "os.truncate", "os.chmod", "os.chown", "os.utime"}  # fmt: skip
TAKES_ROOM = {"open", "os.mkdir", "os.link", "os.symlink", "os.rename"}
CHANGES_PLACES = CHANGES - {"os.truncate"} | {"open"}  # to cut an open file short is not refused
DEVICES = ("/dev/", "/proc/")


def load() -> None:
    """Every module of the program, so that a run begins with its work."""
    import provenance

    for each in pkgutil.walk_packages(provenance.__path__, "provenance."):
        if not each.name.endswith("__main__"):
            importlib.import_module(each.name)
    for name in ("weasyprint", "openpyxl", "filelock", "pikepdf", "pypdfium2", "zxingcpp",
                 "PIL.AvifImagePlugin", "babel.numbers", "rich.table"):  # fmt: skip
        with contextlib.suppress(ImportError):
            importlib.import_module(name)
    gc.freeze()


def name_of(event: str, given: tuple[Any, ...]) -> str:
    """The operation in words, or nothing for one that leaves files as they are."""
    if event == "open":
        path, mode, flags = given
        is_write = bool(flags & WRITES) if isinstance(flags, int) else "w" in str(mode)
        if not is_write or isinstance(path, int) or str(path).startswith(DEVICES):
            return ""
        return f"open {os.fsdecode(path)}"
    if event == "ctypes.dlsym" and given[1] in ("renameat2", "renamex_np"):
        return "os.rename (two change places)"
    if event not in CHANGES:
        return ""
    return " ".join([event, *(os.fsdecode(each) if isinstance(each, (str, bytes, os.PathLike))
                              else str(each) for each in given[:2])])  # fmt: skip


class Accident:
    """What happens at which operation; keeps what was done."""

    def __init__(self, wish: dict[str, Any]) -> None:
        self.wish, self.done, self.own, self.over = wish, [], os.getpid(), False

    def __call__(self, event: str, given: tuple[Any, ...]) -> None:
        if self.over or os.getpid() != self.own or not (name := name_of(event, given)):
            return
        self.done.append(name)
        if self.wish["how"] == "count" or len(self.done) < self.wish["at"]:
            return
        if self.wish["how"] == "cut":
            self.over = True
            cut_off(self.wish["size"])
        elif self.wish["how"] == "refuse":
            if event in (TAKES_ROOM if self.wish["full"] else CHANGES_PLACES):
                number = self.wish["errno"]
                raise OSError(number, os.strerror(number), str(given[0]))
        elif self.wish["how"] == "group":
            os.killpg(0, signal.SIGKILL)
        elif self.wish["how"] == "parent":
            os.kill(self.own, signal.SIGKILL)


def cut_off(size: int) -> None:
    """Killed as soon as a file of this process grows over so many bytes; workers are not."""
    _, most = resource.getrlimit(resource.RLIMIT_FSIZE)
    signal.signal(signal.SIGXFSZ, signal.SIG_DFL)
    os.register_at_fork(
        after_in_child=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
    )
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, most))


def bind() -> None:
    """Root is bound by modes as others are: it gives up CAP_DAC_OVERRIDE (1) and
    CAP_DAC_READ_SEARCH (2), see capabilities(7) and capset(2)."""
    if os.geteuid() == 0:
        head = (ctypes.c_uint32 * 2)(0x20080522, 0)
        sets = (ctypes.c_uint32 * 6)()
        system = ctypes.CDLL(None, use_errno=True)
        assert system.capget(head, sets) == 0
        for turn in range(3):
            sets[turn] &= ~0b110
        assert system.capset(head, sets) == 0


def run(wish: dict[str, Any], told: int, said: int) -> None:
    """In the fork: one command as a maker calls it."""
    os.setsid()
    nothing = os.open(os.devnull, os.O_RDONLY)
    for number, handle in ((0, nothing), (1, said), (2, said)):
        os.dup2(handle, number)
    os.environ.clear()
    os.environ.update(wish["env"])
    tempfile.tempdir = None
    os.chdir(wish["cwd"])
    if wish["is_bound"]:
        bind()
    sys.argv = ["provenance", *wish["words"]]
    for turn, name in enumerate(("stdin", "stdout", "stderr")):
        setattr(sys, name, os.fdopen(turn, "r" if turn == 0 else "w", closefd=False))
    accident = Accident(wish)
    sys.addaudithook(accident)
    try:
        from provenance.commands.main import run as program

        program()
    finally:
        accident.over = True
        os.write(told, json.dumps(accident.done[-5000:]).encode())


def look_after(child: int, told: int, said: int, most: float) -> dict[str, Any]:
    """Wait for a run; what it did, what it said, how it ended; one that hangs is killed."""
    heard, until, is_hanging = {told: b"", said: b""}, time.monotonic() + most, False
    handle, found = os.pidfd_open(child), None
    while found is None:
        ready, _, _ = select.select([handle, told, said], [], [], 0.5)
        for each in (told, said):
            if each in ready:
                heard[each] += os.read(each, 65536)
        if handle in ready or time.monotonic() > until:
            if time.monotonic() > until:
                is_hanging = True
                os.killpg(child, signal.SIGKILL)
            _, status = os.waitpid(child, 0)
            found = os.waitstatus_to_exitcode(status)
    os.close(handle)
    for each in (told, said):
        os.set_blocking(each, False)
        with contextlib.suppress(BlockingIOError):
            while part := os.read(each, 65536):
                heard[each] += part
        os.close(each)
    did = json.loads(heard[told] or b"[]")
    return {"pid": child, "code": found, "said": heard[said].decode("utf-8", "replace"),
            "did": did, "hangs": is_hanging}  # fmt: skip


def main() -> None:
    """Read wishes until there are no more."""
    load()
    for line in sys.stdin:
        wish = json.loads(line)
        told, said = os.pipe(), os.pipe()
        child = os.fork()
        if child == 0:
            os.close(told[0])
            os.close(said[0])
            run(wish, told[1], said[1])
            return
        os.close(told[1])
        os.close(said[1])
        print(json.dumps(look_after(child, told[0], said[0], wish["most"])), flush=True)


if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[2]))
    main()
