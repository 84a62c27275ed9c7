"""Things made once and kept between builds: in the platform's cache, never among the records.

In: a name, bytes. Out: the bytes. A cache that can't be read or written costs time and nothing
else.
"""

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


def keep(name: str, content: bytes) -> None:
    """Keep it, where there is room for it."""
    with suppress(OSError, Slip):
        write_file(cache_path(name), content)
