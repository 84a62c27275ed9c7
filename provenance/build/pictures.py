"""Public pictures, made once and kept: a cache by content, work on every core.

In: photos wanted, with their credits. Out: for each its pictures, from the cache where they are,
else made by worker processes, the heaviest photo first. What is wrong with a photo is never kept:
the cache saves time and decides nothing. A file of the cache says the digest of every picture in
it; a doubtful one is a miss.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from concurrent.futures import Executor, Future, as_completed
from dataclasses import dataclass, field, replace
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path

from provenance.build.cache import forget, keep_quickly, kept_part, sealed, unsealed
from provenance.build.digests import PhotoDigests, State, state_of
from provenance.figures.colour import sights
from provenance.press.file_names import inside
from provenance.press.pictures import photos
from provenance.press.pictures.credit import Credit, packet
from provenance.press.pictures.ladder import Rendition
from provenance.press.pictures.photos import Upright, open_photo, renditions
from provenance.press.pictures.threads import Cloth
from provenance.problems import Slip
from provenance.workers import Tell

_HEAD = 2048  # bytes; the two lines at the beginning of a file of the cache are shorter
_LIBRARIES = ("pillow", "pi-heif", "simplejpeg", "numpy")


@dataclass(frozen=True, slots=True)
class Wanted:
    """A photo to make public: its folder, its name there, what its picture says of itself, and the
    cloth that is to be found in it."""

    folder: Path
    name: str
    credit: Credit
    cloth: Cloth | None = None


@dataclass(frozen=True, slots=True)
class Ready:
    """One public picture: size in pixels, format (avif, jpeg, yarns), SHA-256; its bytes are read
    when they are asked for, and made anew where the cache has lost them."""

    width: int
    height: int
    format: str
    digest: str
    wanted: Wanted
    place: tuple[str, int, int]  # in the cache: name, where it begins, how long it is
    held: bytes = field(default=b"", repr=False)

    @property
    def content(self) -> bytes:
        """The bytes of the file. Slip where they are lost and so is the photo."""
        found = self.held or kept_part(*self.place)
        if hashlib.sha256(found).hexdigest() == self.digest:
            return found
        forget(self.place[0])
        made = _made(self.wanted, open_photo(self.wanted.folder, self.wanted.name))
        return next(
            each.content for each in made if (each.width, each.format) == (self.width, self.format)
        )


@dataclass(frozen=True, slots=True)
class Made:
    """The pictures of a photo, or what is wrong with it."""

    wanted: Wanted
    renditions: tuple[Ready, ...]
    slip: Slip | None = None


@dataclass(frozen=True, slots=True)
class _Job:
    """A photo to make, its key (empty: not to be kept) and its state when that was found."""

    wanted: Wanted
    key: str = ""
    state: State = (0, 0, 0, 0)


class Pending:
    """Pictures on their way: those in the cache are here, the rest is made when it is `start`ed
    on an executor, else by `results` itself."""

    def __init__(self, wanted: Sequence[Wanted], digests: PhotoDigests) -> None:
        self._found: list[Made] = []
        self._jobs: list[_Job] = []
        self._futures: list[Future[Made]] = []
        for each in wanted:
            job = _job(each, digests)
            found = _kept(job)
            if found:
                self._found.append(Made(each, found))
            else:
                self._jobs.append(job)
        # The heaviest first, so that no core is left with a large one at the end.
        self._jobs.sort(key=lambda job: -job.state[0])

    @property
    def missing(self) -> int:
        """How many photos have to be made."""
        return len(self._jobs)

    def start(self, pool: Executor) -> Pending:
        """Hand the work to an executor; it goes on while the caller does something else."""
        self._futures = [pool.submit(_develop, job) for job in self._jobs]
        return self

    def results(self, tell: Tell) -> Iterator[Made]:
        """Every photo's pictures, as they come; `tell(done, all)` is called meanwhile."""
        every = len(self._found) + len(self._jobs)
        yield from self._found
        tell(len(self._found), every)
        for done, made in enumerate(self._made(), len(self._found) + 1):
            tell(done, every)
            yield made

    def _made(self) -> Iterator[Made]:
        if self._futures:
            done, self._futures = as_completed(self._futures), []  # each goes once it is told
            yield from (future.result() for future in done)
        else:
            yield from map(_develop, self._jobs)


def pictures_of(wanted: Sequence[Wanted]) -> Pending:
    """What the cache has of these, and what has to be made; nothing is made yet."""
    digests = PhotoDigests(wanted[0].folder if wanted else Path())
    pending = Pending(wanted, digests)
    digests.keep()
    return pending


def _develop(job: _Job) -> Made:
    """A photo's pictures, kept unless the photo was touched since its key was found."""
    wanted = job.wanted
    try:
        photo = open_photo(wanted.folder, wanted.name)
        made = _made(wanted, photo)
    except Slip as slip:
        return Made(wanted, (), slip)
    ready = _placed(job, made)
    is_same = job.key and state_of(photo.path.stat()) == job.state
    if is_same and keep_quickly(_name(job.key), _file(ready, made)):
        return Made(wanted, ready)
    held = zip(ready, made, strict=True)
    return Made(wanted, tuple(replace(one, held=other.content) for one, other in held))


def _made(wanted: Wanted, photo: Upright) -> tuple[Rendition, ...]:
    return renditions(photo, wanted.credit, cloth=wanted.cloth)


def _job(wanted: Wanted, digests: PhotoDigests) -> _Job:
    """What is wrong with the name or the file is told when it is made, in the cache or not."""
    try:
        path = inside(wanted.folder, wanted.name)
        state = state_of(path.stat())
        digest = digests.of(path)
    except (OSError, Slip):
        return _Job(wanted)
    parts = (_recipe(), packet(wanted.credit), digest.encode(), repr(wanted.cloth).encode())
    whole = b"".join(hashlib.sha256(part).digest() for part in parts)
    return _Job(wanted, hashlib.sha256(whole).hexdigest(), state)


@lru_cache(maxsize=1)
def _recipe() -> bytes:
    """What else decides: the rooms that make pictures, word for word, and their libraries."""
    rooms = (Path(photos.__file__).parent, Path(sights.__file__).parent)
    parts = [path.read_bytes() for room in rooms for path in sorted(room.glob("*.py"))]
    parts += [f"{name} {version(name)}".encode() for name in _LIBRARIES]
    return b"\n".join(parts)


def _name(key: str) -> str:
    return f"pictures/{key[:2]}/{key}"


def _placed(job: _Job, made: Sequence[Rendition]) -> tuple[Ready, ...]:
    ready, start = [], _HEAD
    for each in made:
        place = (_name(job.key), start, len(each.content))
        digest = hashlib.sha256(each.content).hexdigest()
        ready.append(Ready(each.width, each.height, each.format, digest, job.wanted, place))
        start += len(each.content)
    return tuple(ready)


def _file(ready: Sequence[Ready], made: Sequence[Rendition]) -> bytes:
    lines = [[one.width, one.height, one.format, one.digest, *one.place[1:]] for one in ready]
    return b"".join([sealed(lines).ljust(_HEAD), *(each.content for each in made)])


def _kept(job: _Job) -> tuple[Ready, ...]:
    name = _name(job.key)
    lines = unsealed(kept_part(name, 0, _HEAD)) if job.key else None
    if not isinstance(lines, list):
        return ()
    return tuple(
        Ready(width, height, kind, digest, job.wanted, (name, start, length))
        for width, height, kind, digest, start, length in lines
    )
