"""Things made once and kept between builds: in the platform's cache, never among the records.

In: a name, bytes. Out: the bytes. A cache that can't be read or written costs time and nothing
else; what lies in it sealed, or says its own digest, is not believed when a bit has changed.
"""

import hashlib
import json
import os
from contextlib import suppress
from pathlib import Path

from platformdirs import user_cache_path

from provenance.output import write_file
from provenance.problems import Slip


def cache_path(name: str) -> Path:
    """Below `provenance` in the user's cache directory (XDG, macOS and Windows conventions)."""
    return user_cache_path("provenance", appauthor=False, opinion=False) / name


def kept(name: str) -> bytes:
    """What was kept under a name; nothing where it can't be read."""
    with suppress(OSError):
        return cache_path(name).read_bytes()
    return b""


def kept_part(name: str, start: int, length: int) -> bytes:
    """A part of what was kept under a name; nothing where it can't be read."""
    with suppress(OSError), cache_path(name).open("rb") as file:
        file.seek(start)
        return file.read(length)
    return b""


def keep(name: str, content: bytes) -> None:
    """Keep it, where there is room for it."""
    with suppress(OSError, Slip):
        write_file(cache_path(name), content)


def keep_quickly(name: str, content: bytes) -> bool:
    """Keep what says its own digest, seen whole or not at all, but not waited for until the disk
    has it; whether there was room."""
    path = cache_path(name)
    beside = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        beside.write_bytes(content)
        beside.replace(path)
    except OSError:
        with suppress(OSError):
            beside.unlink()
        return False
    return True


def forget(name: str) -> None:
    """Let go of what turned out to be doubtful."""
    with suppress(OSError):
        cache_path(name).unlink()


def sealed(value: object) -> bytes:
    """A value as two lines: the SHA-256 of the second, the value as JSON."""
    body = json.dumps(value).encode()
    return hashlib.sha256(body).hexdigest().encode() + b"\n" + body + b"\n"


def unsealed(content: bytes) -> object:
    """The value of two such lines; None where a bit has changed. More lines may follow."""
    seal, _, rest = content.partition(b"\n")
    body = rest.partition(b"\n")[0]
    if hashlib.sha256(body).hexdigest().encode() != seal:
        return None
    with suppress(ValueError):
        return json.loads(body)
    return None
