"""Whose program it is that asks the desk, by what the system tells of the connection.

In: both ends of a connection on this machine. Out: whether another user's program has the other
end. A cookie is sent to every port of 127.0.0.1, so that a server of another user, once opened in
the maker's browser, has ours; with this it opens nothing. Programs of the maker, who can read the
records anyway, and of root are not kept out.
Only Linux tells (proc_pid_net(5): tcp, tcp6, numbers as the machine stores them); elsewhere the
cookie alone decides, and such a server could read and write here.
"""

import os
import socket
import sys
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

Address = tuple[str, int]
_TABLES = ("/proc/net/tcp", "/proc/net/tcp6")
_MAPPED = b"\x00" * 10 + b"\xff\xff"  # an IPv4 address as an IPv6 one (RFC 4291 2.5.5.2)


def is_of_another(theirs: Address, ours: Address) -> bool:
    """Whether the system says that the other end belongs to another user."""
    ends = {(one, other) for one in _forms(theirs) for other in _forms(ours)}
    for line in _lines():
        words = line.split()
        if len(words) > 7 and (words[1], words[2]) in ends:
            return int(words[7]) not in (os.getuid(), 0)
    return False


def _lines() -> Iterator[str]:
    for table in _TABLES:
        with suppress(OSError):
            yield from Path(table).read_text("ascii", "replace").splitlines()


def _forms(end: Address) -> tuple[str, str]:
    """An address and port as the two tables write them: words of four bytes, each as a number."""
    plain = socket.inet_aton(end[0])
    return _hex(plain, end[1]), _hex(_MAPPED + plain, end[1])


def _hex(address: bytes, port: int) -> str:
    words = (address[at : at + 4] for at in range(0, len(address), 4))
    told = (f"{int.from_bytes(each, sys.byteorder):08X}" for each in words)
    return f"{''.join(told)}:{port:04X}"
