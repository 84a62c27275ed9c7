"""Files over SFTP, with as few answers waited for as can be.

In: an open SFTP session, paths there. Out: what a file holds; a file filled. Requests about one
file are carried out in the order in which they were sent (draft-ietf-secsh-filexfer-02, 3.1), so
what it holds and that it is done are sent together.
"""

import asyncio
from collections.abc import Awaitable, Iterable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import asyncssh

_PART = 4_000_000  # bytes of a large file read at once
_closing: set[asyncio.Future[None]] = set()


async def read(sftp: Any, path: str) -> bytes:
    """All that a file holds."""
    file = await sftp.open(path, "rb")
    try:
        first, found = await asyncio.gather(file.read(sftp.limits.max_read_len, 0), file.stat())
        data: bytes = first if len(first) == found.size else await file.read(-1, 0)
        return data
    finally:  # nothing hangs on the answer
        closing = asyncio.ensure_future(file.close())
        _closing.add(closing)
        closing.add_done_callback(_closing.discard)


async def fill(sftp: Any, path: str, parts: Iterable[bytes]) -> None:
    """Write a file anew; asyncssh.Error where any of it fails."""
    file = await _anew(sftp, path)
    try:
        at = 0
        for part in parts:
            asked = list(_writes(file, part, at, sftp.limits.max_write_len))
            at += len(part)
            await _answered([*asked, file.close()] if len(part) < _PART else asked)
    finally:
        await file.close()  # of one that is closed, nothing is asked


async def _anew(sftp: Any, path: str) -> Any:
    """A file that was not there, open: what lies there goes, and a link is not written through."""
    try:
        return await sftp.open(path, "xb", block_size=0)
    except (asyncssh.SFTPFailure, asyncssh.SFTPFileAlreadyExists):  # the words differ by server
        with suppress(asyncssh.SFTPNoSuchFile):
            await sftp.remove(path)
        return await sftp.open(path, "xb", block_size=0)


def _writes(file: Any, part: bytes, at: int, step: int) -> Iterator[Awaitable[Any]]:
    for start in range(0, len(part), step):
        yield file.write(part[start : start + step], at + start)


async def _answered(asked: Iterable[Awaitable[Any]]) -> None:
    """Wait for every answer; the first that is a fault is raised."""
    for each in await asyncio.gather(*asked, return_exceptions=True):
        if isinstance(each, BaseException):
            raise each


def parts_of(path: Path) -> Iterator[bytes]:
    """A file of ours, some of it at a time."""
    with path.open("rb") as source:
        while part := source.read(_PART):
            yield part
