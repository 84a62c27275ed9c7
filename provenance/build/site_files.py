"""How the files of a site lay when they were last known to be as listed: those that lie there
untouched need not be read again.

In: the memo, the folder of a site. Out: whether a file can be trusted, told by its size, the time
it was written and its number on the disk. A file that was written less than two seconds before it
was looked at may be written again within the same tick of a coarse clock: it is read.
"""

import hashlib
import os
import time
from collections.abc import Iterable
from pathlib import Path

from provenance.build.digests import TICK
from provenance.build.memo import Memo
from provenance.output import LIST_NAME, Trusts

State = tuple[int, int, int]  # size, written (ns), inode


def trusted(memo: Memo, site: Path) -> Trusts:
    """What tells of a file of the site that it is as listed."""
    known: dict[str, State] = memo.get("site files", listed(site)) or {}

    def trusts(name: str, entry: os.DirEntry[str]) -> bool:
        return name in known and known[name] == _state(entry.stat(follow_symlinks=False))

    return trusts


def remember(memo: Memo, site: Path, names: Iterable[str]) -> None:
    """Note how these files lie now, which are as listed."""
    now, folder = time.time_ns(), os.fspath(site)
    states = ((name, _state(os.lstat(f"{folder}/{name}"))) for name in names)
    memo.put("site files", listed(site), {n: s for n, s in states if s[1] < now - TICK})


def listed(site: Path) -> str:
    """The list of the site as it is: states belong to that very list."""
    try:
        return hashlib.sha256((site / LIST_NAME).read_bytes()).hexdigest() + str(site)
    except OSError:
        return ""


def _state(found: os.stat_result) -> State:
    return found.st_size, found.st_mtime_ns, found.st_ino
