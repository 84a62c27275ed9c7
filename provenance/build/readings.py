"""What one reading of a record folder leaves for the next: records that were read without a word,
and pots and pieces that were looked through without finding anything.

In: the record folder. Out: what is known of it, one file in the platform's cache, held together by
a digest; a file that is damaged, of another program or of another folder is as good as none. It is
the maker's own (the cache lies outside the records, so that a received folder can't bring one).
"""

import hashlib
import json
import os
from pathlib import Path

from provenance.build.cache import keep, kept
from provenance.build.program import program
from provenance.figures.reviewed import Reviewed
from provenance.records.kept import Kept

_ROOMS = ("problems.py", "reference", "records", "figures")
Parts = dict[str, bytes]


class Readings:
    """Records and reviews of one folder, as they were left and as they are now."""

    def __init__(self, folder: Path) -> None:
        self._name = f"readings/{hashlib.sha256(os.fsencode(folder)).hexdigest()}"
        reader = program(*_ROOMS)
        self._before = _unpacked(kept(self._name))
        reviewed = self._before.pop("reviewed", b"")
        self.records = Kept(self._before, reader)
        known = frozenset(reviewed.decode("ascii").split())
        self.reviewed = Reviewed(known, reader, self.records.marks)

    def keep(self) -> None:
        """Leave what is known now, where it is not what was known before."""
        now, reviewed = self.records.now, self.reviewed
        if now.keys() != self._before.keys() or reviewed.now != reviewed.before:
            keep(self._name, _packed({**now, "reviewed": " ".join(sorted(reviewed.now)).encode()}))


def _packed(parts: Parts) -> bytes:
    """A digest of the rest; names and lengths on a line; the parts one after another."""
    index = json.dumps([[name, len(part)] for name, part in parts.items()]).encode()
    rest = b"\n".join([index, b"".join(parts.values())])
    return hashlib.sha256(rest).digest() + rest


def _unpacked(content: bytes) -> Parts:
    digest, rest = content[:32], content[32:]
    if hashlib.sha256(rest).digest() != digest:
        return {}
    index, _, body = rest.partition(b"\n")
    parts, start = Parts(), 0
    for name, length in json.loads(index):
        parts[name] = body[start : start + length]
        start += length
    return parts
