"""Worker processes, one for each core, that never outlive the run that started them.

In: how much work there is, or one piece of it. Out: an executor; or bytes that were made beside us.
A worker lets go of every file that its parent has registered with `not_inherited` (the lock of a
folder), and ends by itself when its parent is gone, however it went: a killed run leaves nothing
behind that could hold the studio shut.
"""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar, cast

if TYPE_CHECKING:
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing.process import BaseProcess

Row = TypeVar("Row")
Tell = Callable[[int, int], None]  # told how many parts of how many are done
_HELD: set[int] = set()
_LENGTH = 8  # bytes
_PATIENCE = 2.0  # seconds
_KEPT = ((-3, 32 << 20), (-1, 256 << 20))  # mallopt(3): M_MMAP_THRESHOLD, M_TRIM_THRESHOLD; bytes
_SIGNALS = (("SIGTERM", signal.SIG_DFL), ("SIGHUP", signal.SIG_DFL), ("SIGINT", signal.SIG_IGN))


@contextmanager
def workers(most: int = 64, *, afresh: bool = False) -> Iterator[ProcessPoolExecutor]:
    """An executor for so many pieces of work, on as many cores as there are; none is started before
    there is any.

    Started `afresh`, workers share nothing with a parent that has drawn already. What nobody has
    waited for by the end is dropped.
    """
    import multiprocessing  # most runs start none
    from concurrent.futures import ProcessPoolExecutor

    count = max(1, min(os.cpu_count() or 1, most))
    kind = _Kind(multiprocessing.get_context("spawn" if afresh else None))
    pool = ProcessPoolExecutor(count, mp_context=cast(Any, kind), initializer=_begin)
    try:
        yield pool
    except BaseException:
        pool.shutdown(wait=False, cancel_futures=True)
        for child in kind.begun:  # they let Ctrl-C by; nobody waits for what they are at
            child.terminate()
        raise
    manager = getattr(pool, "_executor_manager_thread", None)
    pool.shutdown(wait=False, cancel_futures=True)
    for child in kind.begun:
        child.terminate()
    if manager:  # else it may still be closing its pipe when the interpreter ends, and is told so
        manager.join(timeout=_PATIENCE)


@contextmanager
def beside(work: Callable[[], bytes]) -> Iterator[Callable[[], bytes]]:
    """What `work` makes, in a process that has all we have, while we go on; whoever asks for it
    waits. It is b"" where there is no other core or nothing can be forked, and where work failed:
    who asked does it then.

    A process with threads is not forked: what one of them holds would be held for ever. Nor is one
    on a Mac, whose own libraries may hold something that no fork brings along.
    """
    alone = threading.active_count() > 1 or (os.cpu_count() or 1) < 2
    parted = None if alone or sys.platform == "darwin" else _parted(work)
    if parted is None:
        yield lambda: b""
        return
    child, coming, holding = parted
    with not_inherited(holding), os.fdopen(coming, "rb") as made:
        try:
            yield lambda: _whole(made.read())
        finally:
            os.close(holding)
            made.close()
            with suppress(ChildProcessError):  # where nobody is told of children that end
                os.waitpid(child, 0)


def in_halves(
    rows: Sequence[Row], ours: Callable[[Row], object], theirs: Callable[[Sequence[Row]], bytes]
) -> bytes:
    """Two or more rows done by two: half of them one by one by `ours`, the rest in a process beside
    us, of which what `theirs` made of them is given; b"" where they were not done.

    The first and the last are ours, and done before we are two: what they ask for is at hand then.
    """
    first, *rest, last = rows
    ours(first)
    ours(last)
    with beside(lambda: theirs(rest[::2])) as made:
        for row in rest[1::2]:
            ours(row)
        return made()


def _parted(work: Callable[[], bytes]) -> tuple[int, int, int] | None:
    """The child at work, what comes from it, and what is closed by whichever way we end; None where
    nothing can be forked."""
    if not hasattr(os, "fork"):
        return None
    pipes: list[int] = []
    try:
        pipes += os.pipe()
        pipes += os.pipe()
        child = os.fork()
    except OSError:  # too many processes or files, no memory
        for each in pipes:
            os.close(each)
        return None
    coming, going, held, holding = pipes
    if not child:
        os.close(holding)
        _alone(work, going, held)
    os.close(going)
    os.close(held)
    return child, coming, holding


def _alone(work: Callable[[], bytes], going: int, held: int) -> NoReturn:
    """The whole life of a process beside another."""
    try:
        for name, how in _SIGNALS:
            signal.signal(getattr(signal, name), how)
        threading.Thread(target=_end_with, args=(held,), daemon=True).start()
        made = work()
        with os.fdopen(going, "wb") as out:
            out.write(len(made).to_bytes(_LENGTH, "big") + made)
    finally:
        os._exit(0)


def _end_with(held: int) -> None:
    os.read(held, 1)  # nothing comes: it ends with whoever holds the other end
    os._exit(1)


def _whole(said: bytes) -> bytes:
    """What was made, where all of it came."""
    made = said[_LENGTH:]
    return made if said[:_LENGTH] == len(made).to_bytes(_LENGTH, "big") else b""


class _Kind:
    """A way to start processes that knows those it has begun: each executor ends its own alone."""

    def __init__(self, context: Any) -> None:
        self._context = context
        self.begun: list[BaseProcess] = []

    def __getattr__(self, name: str) -> Any:
        return getattr(self._context, name)

    def Process(self, *args: Any, **named: Any) -> BaseProcess:
        """A process, as the executor asks for it."""
        self.begun.append(self._context.Process(*args, **named))
        return self.begun[-1]


@contextmanager
def not_inherited(handle: int) -> Iterator[None]:
    """While this lasts, worker processes close this open file when they begin."""
    _HELD.add(handle)
    try:
        yield
    finally:
        _HELD.discard(handle)


def _begin() -> None:
    """What the parent does on a signal is not for us: its handlers came along if we were forked.
    Ctrl-C reaches every process of the terminal; the parent alone decides what ends."""
    for name, how in _SIGNALS:
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), how)
    threading.Thread(target=_end_with_parent, daemon=True).start()
    _keep_memory()


def _keep_memory() -> None:
    """Have freed memory kept for the next picture, where the C library is glibc: to give megabytes
    back to the system and to be given them again takes a tenth of the time of a picture."""
    import ctypes

    with suppress(AttributeError, OSError, TypeError):
        for what, size in _KEPT:
            ctypes.CDLL(None).mallopt(what, size)


def _end_with_parent() -> None:
    import multiprocessing
    from multiprocessing.connection import wait

    parent = multiprocessing.parent_process()
    if parent is not None:
        wait([parent.sentinel])
        os._exit(1)


def _let_go() -> None:
    for handle in _HELD:
        with suppress(OSError):
            os.close(handle)
    _HELD.clear()


if hasattr(os, "register_at_fork"):  # elsewhere workers are started afresh and inherit nothing
    os.register_at_fork(after_in_child=_let_go)
