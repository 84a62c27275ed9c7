"""Whether the machine at the other end is the one the maker knows, and how it lets them in.

In: `records.publishing.Host`. Out: what asyncssh needs to connect, and Refused in words where the
host key is unknown or another one, with the line to add or take out. Nothing is ever trusted on
first sight (RFC 4251, 4.1: "the only alternative ... is not recommended").
"""

import asyncio
import os
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import asyncssh

from provenance.problems import Said
from provenance.publish.refused import Refused
from provenance.records.publishing import Host

PASSWORD = "PROVENANCE_PASSWORD"  # in the environment, for hosts that know no keys
_PATIENCE = 30.0  # seconds for a machine to answer


def known_hosts_file(host: Host) -> Path:
    """The list of host keys that holds for a host, or that is to hold."""
    return next(iter(known_hosts_files(host)), _usual())


def known_hosts_files(host: Host) -> list[Path]:
    """The lists that hold for a host: the one that is written, else those of ~/.ssh/config that
    are there, else the usual one, whether or not the config names none."""
    if host.known_hosts:
        return [_readable(Path(str(host.known_hosts)))]
    given = asyncssh.SSHClientConnectionOptions(
        host=str(host.host), config=(), client_keys=None, agent_path=None
    ).known_hosts
    named = [Path(str(each)).expanduser() for each in given] if isinstance(given, list) else []
    found = [path for path in named if path.is_file()]
    return found or [path for path in (_usual(),) if path.is_file()]


def _usual() -> Path:
    return Path("~/.ssh/known_hosts").expanduser()


def options(host: Host) -> dict[str, Any]:
    """How to connect: what is left out is the agent's and ~/.ssh/config's."""
    given: dict[str, Any] = {"host": str(host.host), "connect_timeout": _PATIENCE}
    given |= {"keepalive_interval": 15, "keepalive_count_max": 4}
    if host.port:
        given["port"] = host.port
    if host.user:
        given["username"] = str(host.user)
    # Always told: without a list, or with "UserKnownHostsFile none", asyncssh would trust anybody.
    given["known_hosts"] = [str(path) for path in known_hosts_files(host)] or b""
    if key := _key(host):
        given["client_keys"] = [key]
    if password := os.environ.get(PASSWORD):
        given["password"] = password
    return given


def _readable(path: Path) -> Path:
    if not path.is_file():
        what = Said("publishing.no_known_hosts", file=str(path))
        raise Refused(what, Said("publishing.write_known_hosts"))
    return path


def _key(host: Host) -> asyncssh.SSHKey | None:
    """The key of a key file; None where none is named, or the agent has to open it."""
    if not host.key:
        return None
    path = Path(str(host.key))
    try:
        return asyncssh.read_private_key(path)
    except asyncssh.KeyEncryptionError:
        return None
    except (OSError, asyncssh.KeyImportError):
        what = Said("publishing.no_key", file=str(path))
        raise Refused(what, Said("publishing.write_key")) from None


async def connect(host: Host) -> asyncssh.SSHClientConnection:
    """A connection to a known host; Refused in words otherwise."""
    try:
        return await asyncssh.connect(**options(host))
    except asyncssh.HostKeyNotVerifiable:
        raise await unknown_host(host) from None
    except asyncssh.PermissionDenied:
        raise denied(host) from None
    except (TimeoutError, OSError, asyncssh.Error) as error:
        raise no_answer(host, str(error)) from None


def denied(host: Host) -> Refused:
    """The host is the right one and lets nobody in who has no other key."""
    what = Said("publishing.denied", host=str(host.host), user=str(host.user or ""))
    return Refused(what, Said("publishing.let_in", variable=PASSWORD))


def no_answer(host: Host, why: str) -> Refused:
    """Nobody answers there."""
    what = Said("publishing.no_answer", host=str(host.host), why=why[:200])
    return Refused(what, Said("publishing.look_at_host"))


async def unknown_host(host: Host) -> Refused:
    """A host key that is not on the list, or is another than that on the list."""
    file = known_hosts_file(host)
    given = {word: each for word, each in options(host).items() if word in ("host", "port")}
    key = None
    with suppress(OSError, asyncssh.Error, asyncio.TimeoutError):
        key = await asyncssh.get_server_host_key(**given)
    if key is None:
        return no_answer(host, "")
    told = {"host": str(host.host), "print": key.get_fingerprint(), "file": str(file)}
    if lines := list(_lines_of(host, file)):
        what = Said("publishing.other_key", **told)
        numbers = tuple(str(number) for number in lines)
        return Refused(what, Said("publishing.take_line_out", file=str(file), lines=numbers))
    return Refused(
        Said("publishing.unknown_host", **told),
        Said("publishing.add_line", file=str(file), line=_line(host, key)),
    )


def _line(host: Host, key: asyncssh.SSHKey) -> str:
    name = f"[{host.host}]:{host.port}" if host.port and host.port != 22 else str(host.host)
    kind, body = key.export_public_key().decode().split()[:2]
    return f"{name} {kind} {body}"


def _lines_of(host: Host, file: Path) -> Iterator[int]:
    """The numbers of the lines that tell of a host; names may be hashed there."""
    with suppress(OSError, UnicodeDecodeError):
        for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1):
            with suppress(ValueError):
                found = asyncssh.import_known_hosts(line).match(str(host.host), "", host.port or 22)
                if any(found):
                    yield number
