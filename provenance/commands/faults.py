"""The last door: what nobody foresaw becomes a log and exit code 3, never a traceback."""

import errno
import io
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from provenance.commands.voice import show
from provenance.language.phrases import british
from provenance.problems import Said

_THE_SYSTEMS = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EROFS, errno.EPIPE, errno.EIO)


@contextmanager
def faults_told() -> Iterator[None]:
    """A full disk or a closed pipe ends with 1; our own fault with 3, and a log to send."""
    try:
        yield
    except OSError as error:
        if error.errno not in _THE_SYSTEMS:
            _own_fault(error)
        _say_last(Said("door.system", why=error.strerror or ""))
        sys.exit(1)
    except Exception as error:
        _own_fault(error)


def _say_last(words: Said) -> None:
    """A last word, if anyone still listens; what is left unsaid on stdout is dropped."""
    sys.stdout = io.TextIOWrapper(io.BytesIO())
    with suppress(OSError):
        show(british().tell(words), err=True)


def _own_fault(error: BaseException) -> None:
    import traceback

    from provenance.output.fault_log import logged

    name = type(error).__name__
    try:
        log = logged(error)
        show(british().tell(Said("door.our_fault", error=name, log=log)), err=True)
    except OSError as no_log:
        last = traceback.extract_tb(error.__traceback__)[-1]
        where, why = f"{Path(last.filename).name}:{last.lineno}", no_log.strerror or ""
        _say_last(Said("door.our_fault_alone", error=name, where=where, why=why))
    sys.exit(3)
