"""What was typed at the desk, written as an editor would.

In: the record, its text, the digest of what the maker saw. Out: the file with the typed bytes and
nothing else; its line ends and its mark at the beginning (BOM) stay as they were. `Stale` where the
file is another by now. Written whole beside its place and moved there, in our turn; links inside
the folder are followed, mode and owner stay.
"""

import hashlib
from pathlib import Path

from provenance.desk.records import KEPT_BY_US, record_path
from provenance.lock import lock
from provenance.output import disk_told, true_place, write_beside
from provenance.problems import Said, Slip

_BOM = b"\xef\xbb\xbf"


class Stale(Exception):
    """The file was changed elsewhere: its bytes now."""

    def __init__(self, now: bytes) -> None:
        super().__init__()
        self.now = now


def digest_of(content: bytes) -> str:
    """SHA-256, as hex."""
    return hashlib.sha256(content).hexdigest()


def text_of(content: bytes) -> str:
    """The text of a file as it is typed: no mark at the beginning, lines end with \\n alone."""
    text = content.removeprefix(_BOM).decode("utf-8", "replace")
    return text.replace("\r\n", "\n")


def save(folder: Path, name: str, text: str, digest: str) -> None:
    """Write what was typed. Stale where the file is not what was seen; Slip for what is no record,
    what is no text that a file can hold, and what the disk refuses."""
    path = record_path(folder, name)
    if name in KEPT_BY_US:
        raise Slip(Said("desk.kept_by_us", name=name))
    with lock(folder, "desk"), disk_told(path):
        before = path.read_bytes()
        if digest_of(before) != digest:
            raise Stale(before)
        content = typed(text, before)
        if content != before:
            place = true_place(path)
            write_beside(place, content, place.stat())


def typed(text: str, before: bytes) -> bytes:
    """The bytes of a text, in the form the file had. Slip for a text that is not what was read."""
    try:
        before.decode("utf-8")
        content = text.replace("\r\n", "\n").encode("utf-8")
    except UnicodeError:
        raise Slip(Said("desk.no_utf8"), Said("template.save_utf8")) from None
    ours, mark = before.removeprefix(_BOM), _BOM if before.startswith(_BOM) else b""
    if b"\r\n" not in ours:
        return mark + content
    return mark + _as_before(content, ours)


def _as_before(content: bytes, before: bytes) -> bytes:
    """Lines that stayed keep their ends, in a file that has both; new ones get the usual one."""
    import difflib

    old, new = before.splitlines(keepends=True), content.split(b"\n")
    bare = [line.rstrip(b"\r\n") for line in old]
    usual = b"\r\n" if 2 * before.count(b"\r\n") >= before.count(b"\n") else b"\n"
    ends = [usual] * (len(new) - 1) + [b""]
    for there, here, count in difflib.SequenceMatcher(
        None, bare, new, autojunk=False
    ).get_matching_blocks():
        for turn in range(count):
            if here + turn < len(new) - 1 and old[there + turn].endswith(b"\n"):
                end = b"\r\n" if old[there + turn].endswith(b"\r\n") else b"\n"
                ends[here + turn] = end
    return b"".join(line + end for line, end in zip(new, ends, strict=True))
