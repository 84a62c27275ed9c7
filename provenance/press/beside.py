"""What never changes while the program does not, kept where Python keeps its compiled modules.

In: the file that it belongs to, what it was made with, in short, and the bytes. Out: the bytes,
from `__pycache__` beside that file, while it is made with the same and no bit has changed. Where
nothing may be written there, or Python is told to write no compiled code, nothing is kept.
"""

import hashlib
import os
import sys
from contextlib import suppress
from importlib.util import cache_from_source
from pathlib import Path

_DIGEST = 32  # bytes


def found_beside(source: str, made_with: str) -> bytes:
    """What was kept; nothing where it was made otherwise, or is damaged."""
    with suppress(OSError):
        content = _place(source).read_bytes()
        digest, rest = content[:_DIGEST], content[_DIGEST:]
        if hashlib.sha256(made_with.encode() + rest).digest() == digest:
            return rest
    return b""


def keep_beside(source: str, made_with: str, content: bytes) -> None:
    """Keep it, seen whole or not at all."""
    if sys.dont_write_bytecode:
        return
    path = _place(source)
    coming = path.with_name(f"{os.getpid()}-{path.name}")  # ends in .pyc, like what it becomes
    try:
        path.parent.mkdir(exist_ok=True)
        coming.write_bytes(hashlib.sha256(made_with.encode() + content).digest() + content)
        coming.replace(path)
    except OSError:
        with suppress(OSError):
            coming.unlink()


def _place(source: str) -> Path:
    return Path(cache_from_source(f"{source}.py"))
