"""A folder behind SFTP.

In: `records.publishing.Host`. Out: a `Place`. Many files are on their way at once, so that a slow
line costs little; a file is written beside its place and moved there whole (`posix-rename`, of
OpenSSH's PROTOCOL, which replaces what lies there). Folders are made level by level.
"""

import asyncio
import threading
from collections.abc import (
    AsyncIterator,
    Awaitable,
    Callable,
    Coroutine,
    Iterable,
    Iterator,
    Sequence,
)
from contextlib import asynccontextmanager, contextmanager, suppress
from hashlib import sha256
from pathlib import Path, PurePosixPath
from typing import Any, TypeVar

import asyncssh

from provenance.problems import Said
from provenance.publish.coming import coming, folders_of, levels
from provenance.publish.hosts import connect
from provenance.publish.manifest import NAME, Manifest
from provenance.publish.place import Outgoing, Told
from provenance.publish.refused import Refused
from provenance.publish.sftp_files import fill, parts_of, read
from provenance.records.publishing import Host

AT_ONCE = 32  # files on their way
_FULL = 1_000_000  # bytes: where less is free, a failure is told as a full disk
Kind = TypeVar("Kind")
_LOST = (asyncssh.SFTPConnectionLost, asyncssh.SFTPNoConnection, asyncssh.ConnectionLost,
         asyncssh.DisconnectError, ConnectionError, BrokenPipeError)  # fmt: skip


@contextmanager
def sftp_place(host: Host) -> Iterator["SftpPlace"]:
    """The place, connected; the line is kept alive by a thread of its own until the block ends."""
    loop = asyncio.new_event_loop()
    loop.set_exception_handler(lambda *_: None)  # of many that a broken line ends, one is told
    thread = threading.Thread(target=loop.run_forever, daemon=True)
    thread.start()
    place = SftpPlace(host, loop)
    try:
        place.open()
        yield place
    finally:
        place.close()
        loop.call_soon_threadsafe(loop.stop)
        thread.join()
        loop.close()


class SftpPlace:
    """An open folder on another machine."""

    def __init__(self, host: Host, loop: asyncio.AbstractEventLoop) -> None:
        self.host, self.root = host, _root(str(host.folder))
        self._loop, self._turns = loop, asyncio.Semaphore(AT_ONCE)
        self._line: asyncssh.SSHClientConnection | None = None
        self._sftp: Any = None
        self._folders: set[str] = set()
        self._beside: dict[str, str] = {}  # what lies beside its place, by its digest

    def open(self) -> None:
        """Connect."""
        self._run(self._open())

    def close(self) -> None:
        """Hang up."""
        if self._line:
            with suppress(Exception):
                self._line.close()
                asyncio.run_coroutine_threadsafe(self._line.wait_closed(), self._loop).result(5)

    def manifest(self) -> Manifest:
        data = self._run(self._manifest())
        found = Manifest.of_bytes(data) if data else Manifest()
        self._folders = set(folders_of(found.files))
        return found

    def foreign(self, files: Sequence[Outgoing]) -> tuple[str, ...]:
        found = self._run(self._all(self._differs, files))
        return tuple(name for name in found if name)

    def bring(self, files: Sequence[Outgoing], manifest: bytes) -> None:
        async def one(file: Outgoing | None) -> None:
            name, held = (file.name, file.held.digest) if file else (NAME, _digest(manifest))
            await self._fill(name, parts_of(file.path) if file else [manifest])
            self._beside[name] = held

        async def every() -> None:
            await self._make_folders(folders_of(file.name for file in files))
            with suppress(asyncssh.SFTPNoSuchFile):  # `put` makes the folder that was taken away
                await self._all(one, [*files, None])

        self._run(every())

    def put(self, files: Sequence[Outgoing], told: Told) -> None:
        async def one(file: Outgoing) -> None:
            await self._put(file)
            told(1)

        async def every() -> None:
            await self._make_folders(folders_of(file.name for file in files))
            await self._all(one, files)

        self._run(every())

    def put_manifest(self, data: bytes) -> None:
        self._run(self._write(NAME, [data], _digest(data)))

    def remove(self, names: Sequence[str]) -> None:
        async def every() -> None:
            await self._all(self._remove, [*names, *map(coming, names)])
            for level in reversed(levels(folders_of(names))):
                await self._all(self._rmdir, level)

        self._run(every())

    def get(self, names: Sequence[str], into: Path) -> None:
        """Bring files here, each as `into/NAME`; one that is not there is left out."""

        async def one(name: str) -> None:
            with suppress(asyncssh.SFTPNoSuchFile):
                (into / name).write_bytes(await self._read(name))

        self._run(self._all(one, names))

    async def _open(self) -> None:
        self._line = await connect(self.host)
        try:
            self._sftp = await self._line.start_sftp_client()
        except asyncssh.ChannelOpenError:
            what = Said("publishing.no_sftp", host=str(self.host.host))
            raise Refused(what, Said("publishing.ask_for_sftp")) from None

    async def _manifest(self) -> bytes | None:
        try:
            return await self._read(NAME)
        except asyncssh.SFTPNoSuchFile:
            if await self._sftp.isdir(self.root or "."):
                return None
        what = Said("publishing.no_folder", folder=str(self.host.folder))
        raise Refused(what, Said("publishing.make_folder"))

    async def _read(self, name: str) -> bytes:
        return await read(self._sftp, self.root + name)

    async def _differs(self, file: Outgoing) -> str:
        """The file's name, where other bytes lie in its place."""
        try:
            found = await self._sftp.lstat(self.root + file.name)
            if found.size == file.held.size and found.type == asyncssh.FILEXFER_TYPE_REGULAR:
                data = await self._read(file.name)
                return "" if _digest(data) == file.held.digest else file.name
        except asyncssh.SFTPNoSuchFile:
            return ""
        return file.name

    async def _put(self, file: Outgoing) -> None:
        try:
            await self._write(file.name, parts_of(file.path), file.held.digest)
        except asyncssh.SFTPNoSuchFile:  # the manifest knows of a folder that was taken away
            self._folders.clear()
            await self._make_folders(folders_of([file.name]))
            await self._write(file.name, parts_of(file.path), "")

    async def _write(self, name: str, parts: Iterable[bytes], digest: str) -> None:
        """Have a file in its place; one that lies beside it already is only moved."""
        if self._beside.pop(name, None) != digest:
            await self._fill(name, parts)
        async with self._telling(name):
            await self._sftp.posix_rename(self.root + coming(name), self.root + name)

    async def _fill(self, name: str, parts: Iterable[bytes]) -> None:
        """Write a file beside its place."""
        async with self._telling(name):
            await fill(self._sftp, self.root + coming(name), parts)

    @asynccontextmanager
    async def _telling(self, name: str) -> AsyncIterator[None]:
        """What the server refuses about a file, in words."""
        try:
            yield
        except asyncssh.SFTPFailure as error:
            with_name = Said("publishing.file", name=name)
            raise await self._failure(with_name, error.reason) from None
        except asyncssh.SFTPPermissionDenied:
            raise self._may_not(name) from None

    def _may_not(self, name: str) -> Refused:
        what = Said("publishing.may_not", name=name, host=str(self.host.host))
        return Refused(what, Said("publishing.allow_there"))

    async def _failure(self, what: Said, why: str) -> Refused:
        """A failure that the server does not explain: a full disk more often than not."""
        with suppress(asyncssh.Error):
            found = await self._sftp.statvfs(self.root or ".")
            if found.bavail * found.frsize < _FULL:
                return Refused(Said("publishing.full", file=what), Said("publishing.make_room"))
        return Refused(Said("publishing.fails", file=what, why=why), Said("publishing.make_room"))

    async def _make_folders(self, folders: Iterable[str]) -> None:
        for level in levels(set(folders) - self._folders):
            await self._all(self._mkdir, level)
            self._folders.update(level)

    async def _mkdir(self, folder: str) -> None:
        try:
            await self._sftp.mkdir(self.root + folder)
        except asyncssh.SFTPPermissionDenied:
            raise self._may_not(folder) from None
        except (asyncssh.SFTPFailure, asyncssh.SFTPFileAlreadyExists):
            # It is there, in words that differ from server to server; else the file says so.
            await self._refuse_link(folder)

    async def _refuse_link(self, folder: str) -> None:
        """Refused where a link that leads out of the place stands for a folder."""
        with suppress(asyncssh.SFTPNoSuchFile):
            found = await self._sftp.lstat(self.root + folder)
            if found.type == asyncssh.FILEXFER_TYPE_SYMLINK:
                root = await self._sftp.realpath(self.root or ".")
                leads = await self._sftp.realpath(self.root + folder)
                if not PurePosixPath(leads).is_relative_to(root):
                    what = Said("publishing.leads_out", name=f"{folder}/")
                    raise Refused(what, Said("publishing.take_link_away"))

    async def _remove(self, name: str) -> None:
        try:
            await self._sftp.remove(self.root + name)
        except asyncssh.SFTPNoSuchFile:
            pass
        except asyncssh.SFTPPermissionDenied:
            raise self._may_not(name) from None

    async def _rmdir(self, folder: str) -> None:
        self._folders.discard(folder)
        with suppress(asyncssh.SFTPError):  # it holds something else
            await self._sftp.rmdir(self.root + folder)

    async def _all(self, work: Callable[[Any], Awaitable[Kind]], many: Iterable[Any]) -> list[Kind]:
        """The same for many, so many at once; the first fault ends it."""

        async def one(each: Any) -> Kind:
            async with self._turns:
                return await work(each)

        tasks = [asyncio.ensure_future(one(each)) for each in many]
        try:
            return await asyncio.gather(*tasks)
        except BaseException:
            for task in tasks:
                task.cancel()
            await asyncio.gather(*tasks, return_exceptions=True)
            raise

    def _run(self, work: Coroutine[Any, Any, Kind]) -> Kind:
        """Have the thread of the line do something, and wait for it."""
        try:
            return asyncio.run_coroutine_threadsafe(work, self._loop).result()
        except _LOST:
            what = Said("publishing.lost", host=str(self.host.host))
            raise Refused(what, Said("publishing.again")) from None
        except asyncssh.Error as error:
            what = Said("publishing.fails_there", host=str(self.host.host), why=error.reason)
            raise Refused(what, Said("publishing.again")) from None


def _digest(data: bytes) -> str:
    return sha256(data).hexdigest()


def _root(folder: str) -> str:
    """What every name begins with; '' is the folder that a login begins in."""
    if folder == "/":
        return "/"
    plain = folder.rstrip("/").removeprefix("~/")
    return f"{plain}/" if plain not in ("", "~", ".") else ""
