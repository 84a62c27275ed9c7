"""How the files of a site lay when they were last known to be as listed: those that lie there
untouched need not be read again.

In: the memo, the folder of a site. Out: whether a file can be trusted, told by its size, the time
it was written and its number on the disk. A file that was written less than two seconds before it
was looked at may be written again within the same tick of a coarse clock: it is read.
"""

import hashlib
import os
import time
from collections.abc import Collection, Iterable
from pathlib import Path

from provenance.build.digests import TICK
from provenance.build.memo import Memo
from provenance.output import LIST_NAME

State = tuple[int, int, int]  # size, written (ns), inode


class Trusted:
    """What tells of a file of the site whether it lies as it lay when it was as listed."""

    def __init__(self, memo: Memo, site: Path) -> None:
        self._memo, self._site = memo, site
        self._known: dict[str, State] = memo.get("site files", listed(site)) or {}

    def __call__(self, name: str, entry: os.DirEntry[str]) -> bool:
        if self._known.get(name) == _state(entry.stat(follow_symlinks=False)):
            return True
        self._known.pop(name, None)
        return False

    def remember(self, names: Iterable[str], carried: Collection[str]) -> None:
        """Note how these files lie now, which are as listed; those that were carried over lie as
        they lay."""
        now, folder, known = time.time_ns(), os.fspath(self._site), self._known
        lie = {name: known[name] for name in carried if name in known}
        others = (name for name in names if name not in lie)
        states = ((name, _state(os.lstat(f"{folder}/{name}"))) for name in others)
        lie |= {name: state for name, state in states if state[1] < now - TICK}
        self._memo.put("site files", listed(self._site), lie)


def listed(site: Path) -> str:
    """The list of the site as it is: states belong to that very list."""
    try:
        return hashlib.sha256((site / LIST_NAME).read_bytes()).hexdigest() + str(site)
    except OSError:
        return ""


def _state(found: os.stat_result) -> State:
    return found.st_size, found.st_mtime_ns, found.st_ino
