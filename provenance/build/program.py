"""The program itself, told in a short name: what was made by another one is made again.

In: nothing. Out: a digest of Python's version, of the libraries that are installed, and of size
and time of every file of ours. It is worked out in milliseconds; a file that was only touched is
taken for a new one.
"""

import hashlib
import sys
from collections.abc import Iterator
from contextlib import suppress
from functools import cache
from pathlib import Path

import provenance
from provenance.press.templates import shipped_templates


@cache
def program() -> str:
    """SHA-256 in hexadecimal of what makes everything."""
    package = Path(provenance.__file__).parent
    ours = [*_files(package), *_files(shipped_templates())]
    told = f"{sys.version}\n{sorted(ours)}\n{sorted(_libraries())}"
    return hashlib.sha256(told.encode()).hexdigest()


def templates_of(folder: Path | None) -> str:
    """SHA-256 in hexadecimal of a studio's own templates and styles."""
    told = hashlib.sha256()
    for path in sorted(folder.rglob("*")) if folder else ():
        with suppress(OSError):  # told when a paper asks for it
            told.update(f"{path.relative_to(str(folder))}\0".encode("utf-8", "surrogateescape"))
            told.update(hashlib.sha256(path.read_bytes()).digest())
    return told.hexdigest()


def _libraries() -> Iterator[str]:
    """What is installed, each with its version: jinja2-3.1.6.dist-info."""
    for folder in filter(Path.is_dir, map(Path, sys.path)):
        yield from (each.name for each in folder.iterdir() if each.suffix == ".dist-info")


def _files(folder: Path) -> Iterator[tuple[str, int, int]]:
    for path in folder.rglob("*"):
        if path.suffix != ".pyc" and path.is_file():
            about = path.stat()
            yield str(path.relative_to(folder)), about.st_size, about.st_mtime_ns
