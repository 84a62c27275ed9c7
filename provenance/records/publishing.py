"""studio/publish.yaml: the place where the site is published, and a second place for the records.

In: the file. Out: a frozen `Publishing`: one way to one public place, or none, and a second place,
or none. No secret stands in it (it is copied and shared with the records): secrets are the agent's,
the key file's, the environment's; a key file lies outside the record folder.
"""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any, Self

from pydantic import model_validator

from provenance.problems import Problems, Said, Slip, row
from provenance.records.fields import Reads, YesNo
from provenance.records.numbers import Habits
from provenance.records.reading import Record, read_record
from provenance.records.text import Fields, Written

PUBLISH = "publish"  # the name without its ending, among the files in studio/
WAYS = ("sftp", "rsync", "folder", "git", "s3")
_SECRETS = re.compile(
    r"(pass|secret|token|credential|kennwort|(access|api|private)[ _-]?key)",
    re.IGNORECASE,
)
_CARRIES_SECRET = re.compile(r"-----BEGIN|://[^/@\s]*:[^/@\s]+@|://[^/@\s:]{20,}@")


def _plain(text: Written) -> Written:
    """A value that names a place and holds no secret."""
    if _CARRIES_SECRET.search(text):
        raise Slip(Said("publishing.secret_value"), Said("publishing.no_secret"))
    if not text.strip() or len(text) > 1_000 or re.search(r"[\x00-\x1f\x7f]", text):
        raise Slip(Said("publishing.odd"), Said("publishing.write_plain"))
    if text.startswith("-"):  # a program that is handed it would take it for an option
        what = _without_secret(Said("publishing.dash", text=text[:40]), text)
        raise Slip(what, Said("publishing.write_plain"))
    return text


def _without_secret(what: Said, text: str) -> Said:
    """What is wrong; without the text where it may be name:password@machine."""
    return Said("publishing.odd") if ":" in text and "@" in text else what


def _host(text: Written) -> Written:
    if not re.fullmatch(r"[A-Za-z0-9:][A-Za-z0-9._:%-]{0,252}", _plain(text)):
        what = _without_secret(Said("publishing.host", text=text), text)
        raise Slip(what, Said("publishing.write_host"))
    return text


def _user(text: Written) -> Written:
    if not re.fullmatch(r"[^\s@:/'\"-][^\s@:/'\"]{0,63}", _plain(text)):
        what = _without_secret(Said("publishing.user", text=text), text)
        raise Slip(what, Said("publishing.write_user"))
    return text


def _port(text: Written) -> int:
    if not re.fullmatch(r"[0-9]{1,5}", text) or not 0 < int(text) < 65536:
        what = _without_secret(Said("publishing.port", text=text), text)
        raise Slip(what, Said("publishing.write_port"))
    return int(text)


def _address(text: Written) -> Written:
    if not re.fullmatch(r"https?://[\w.-]+(:[0-9]{1,5})?(/[\w.~/-]*)?", _plain(text)):
        raise Slip(Said("publishing.endpoint"), Said("publishing.write_endpoint"))
    return Written(text.rstrip("/"), text.place)


def _prefix(text: Written) -> Written:
    parts = [part for part in _plain(text).split("/") if part] if text else []
    if {".", ".."} & {*parts}:
        raise Slip(Said("publishing.prefix", text=text), Said("publishing.write_prefix"))
    return Written("/".join(parts), text.place)


def expanded(path: str, start: Path) -> Path:
    """A path of this machine: `~` is a home, and what does not begin at the top begins at `start`;
    a Slip, at the place of a written path, where nobody has that home."""
    try:
        return start / Path(path).expanduser()
    except RuntimeError:
        what = Said("publishing.no_home", user=path.partition("/")[0])
        place = path.place if isinstance(path, Written) else None
        raise Slip(what, Said("publishing.write_home"), place) from None


def _local(text: Written) -> Written:
    expanded(_plain(text), Path())
    return text


Plain = Annotated[Written, Reads(_plain, type=["string", "number"])]
Local = Annotated[Written, Reads(_local, type=["string", "number"])]


class _Way(Record):
    """A way to a place; a word that names a secret is refused before any other."""

    @model_validator(mode="before")
    @classmethod
    def _no_secret(cls, value: Any) -> Any:
        for word in value if isinstance(value, Fields) else ():
            if _SECRETS.search(word):
                place = value.word(word).place
                raise Slip(
                    Said("publishing.secret", word=str(word)), Said("publishing.no_secret"), place
                )
        return value


class Host(_Way):
    """A folder on a machine that is reached by SSH."""

    host: Annotated[Written, Reads(_host)]
    port: Annotated[int, Reads(_port, type=["string", "number"])] | None = None
    user: Annotated[Written, Reads(_user)] | None = None
    folder: Plain
    key: Local | None = None
    known_hosts: Local | None = None


class Git(_Way):
    """A branch of a git remote that holds the site and nothing else."""

    remote: Plain
    branch: Plain = Written("pages")


class S3(_Way):
    """A bucket of S3-compatible storage, or what in it begins with a prefix."""

    bucket: Plain
    endpoint: Annotated[Written, Reads(_address)] | None = None
    region: Plain | None = None
    prefix: Annotated[Written, Reads(_prefix)] = Written("")


class SecondPlace(_Way):
    """Where a copy of records, photos and keys goes: one of these; locked unless it says no."""

    sftp: Host | None = None
    folder: Local | None = None
    s3: S3 | None = None
    encrypted: YesNo = True

    @model_validator(mode="after")
    def _one(self) -> Self:
        _one_of(self, ("sftp", "folder", "s3"))
        return self


class Publishing(_Way):
    """studio/publish.yaml: one way to the public place."""

    sftp: Host | None = None
    rsync: Host | None = None
    folder: Local | None = None
    git: Git | None = None
    s3: S3 | None = None
    second_place: SecondPlace | None = None

    @model_validator(mode="after")
    def _one(self) -> Self:
        if self.second_place is None or any(getattr(self, way) is not None for way in WAYS):
            _one_of(self, WAYS)
        return self

    @property
    def way(self) -> str:
        """Which of the five it is; '' where only a second place is named."""
        return next((way for way in WAYS if getattr(self, way) is not None), "")


def _one_of(record: Record, ways: tuple[str, ...]) -> None:
    found = [way for way in ways if getattr(record, way) is not None]
    if len(found) != 1:
        what = Said("publishing.several", ways=row(found)) if found else Said("publishing.no_way")
        raise Slip(what, Said("publishing.one_of", ways=row(ways)))


def read_publishing(
    open_file: Callable[[Path], Any | None], folder: Path, problems: Problems
) -> Publishing | None:
    """What publish.yaml says; None where there is none, or it could not be read."""
    path = folder / "studio" / f"{PUBLISH}.yaml"
    value = open_file(path) if path.is_file() else None
    if value is None:
        return None
    found = read_record(Publishing, value, Habits(), problems)
    found = _from_records(found, folder) if found else None
    return found if found and not _key_inside(found, folder, problems) else None


def _from_records(found: Publishing, folder: Path) -> Publishing:
    """The same, with keys and lists of known hosts that begin at the top: wherever a command is
    run, they are looked for from the record folder, as every folder is."""
    second = found.second_place
    hosts = {way: _host_from(getattr(found, way), folder) for way in ("sftp", "rsync")}
    if second:
        second = second.model_copy(update={"sftp": _host_from(second.sftp, folder)})
    return found.model_copy(update={**hosts, "second_place": second})


def _host_from(host: Host | None, folder: Path) -> Host | None:
    paths = {word: getattr(host, word) for word in ("key", "known_hosts")} if host else {}
    whole = {
        word: Written(str(expanded(path, folder.absolute())), path.place)
        for word, path in paths.items()
        if path
    }
    return host.model_copy(update=whole) if host else None


def _key_inside(publishing: Publishing, folder: Path, problems: Problems) -> bool:
    """Whether a private key lies among the records, where copies of them would carry it off."""
    second, home = publishing.second_place, folder.resolve()
    hosts = (publishing.sftp, publishing.rsync, second.sftp if second else None)
    keys = [host.key for host in hosts if host and host.key]
    inside = [key for key in keys if is_inside(Path(key), home)]
    for key in inside:
        problems.add(key.place, Said("publishing.key_inside"), Said("publishing.key_outside"))
    return bool(inside)


def is_inside(path: Path, folder: Path) -> bool:
    """Whether a path, as seen from the record folder, lies in it."""
    return (folder / path).resolve().is_relative_to(folder)
