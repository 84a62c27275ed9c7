"""The program itself, told in a short name: what was made by another one is made again.

In: some of its rooms, or nothing for all. Out: a digest of Python's version, of the libraries that
are installed, and of size and time of every file of ours there. It is worked out in milliseconds; a
file that was only touched is taken for a new one.
"""

import hashlib
import os
import sys
from collections.abc import Iterator
from contextlib import suppress
from functools import cache
from pathlib import Path

from provenance.press.templates import shipped_templates

_PACKAGE = Path(__file__).parents[1]


@cache
def program(*rooms: str) -> str:
    """SHA-256 in hexadecimal of what makes everything, or of these rooms."""
    places = [_PACKAGE / room for room in rooms] or [_PACKAGE, shipped_templates()]
    ours = [told for place in places for told in _files(place)]
    told = f"{sys.version}\n{sorted(ours)}\n{sorted(_libraries())}"
    return hashlib.sha256(told.encode()).hexdigest()


def _libraries() -> Iterator[str]:
    """What is installed, each with its version: jinja2-3.1.6.dist-info."""
    for folder in filter(Path.is_dir, map(Path, sys.path)):
        yield from (each.name for each in folder.iterdir() if each.suffix == ".dist-info")


def _files(place: Path) -> Iterator[tuple[str, int, int]]:
    """Every file of a room, be it a folder or a module."""
    inside = str(place.parent)
    rooms = os.walk(place) if place.is_dir() else [(inside, [], [place.name])]
    for folder, below, names in rooms:
        below[:] = [name for name in below if name != "__pycache__"]
        for path in (f"{folder}/{name}" for name in names if not name.endswith(".pyc")):
            with suppress(OSError):  # an editor's link to nowhere, or gone meanwhile
                about = os.stat(path)  # noqa: PTH116 (hundreds of them)
                yield path.removeprefix(inside), about.st_size, about.st_mtime_ns
