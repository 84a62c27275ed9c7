"""What was typed at the desk, written as an editor would.

In: the record, its text, the digest of what the maker saw. Out: the file with the typed bytes and
nothing else; its line ends (\\r\\n, \\n, a lone \\r) and its mark at the beginning (BOM) stay as
they were. `Stale` where the file is another by now. Written whole beside its place and moved there,
in our turn; links inside the folder are followed, mode and owner stay.
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
    return _ended(content.removeprefix(_BOM).decode("utf-8", "replace"))


def _ended(text: str) -> str:
    """Lines end with \\n alone, as in the browser: YAML too takes a lone \\r for an end."""
    return text.replace("\r\n", "\n").replace("\r", "\n")


def save(folder: Path, name: str, text: str, digest: str) -> bytes:
    """Write what was typed; out: the bytes that the file has now. Stale where the file is not what
    was seen; Slip for what is no record, what is no text that a file can hold, and what the disk
    refuses."""
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
    return content


def typed(text: str, before: bytes) -> bytes:
    """The bytes of a text, in the form the file had. Slip for a text that is not what was read."""
    try:
        before.decode("utf-8")
        content = _ended(text).encode("utf-8")
    except UnicodeError:
        raise Slip(Said("desk.no_utf8"), Said("template.save_utf8")) from None
    ours, mark = before.removeprefix(_BOM), _BOM if before.startswith(_BOM) else b""
    if b"\r" not in ours:
        return mark + content
    return mark + _as_before(content, ours)


def _as_before(content: bytes, before: bytes) -> bytes:
    """Lines that stayed, or were typed over, keep their ends; new ones get the usual one."""
    import difflib

    old, new = before.splitlines(keepends=True), content.split(b"\n")
    bare = [line.rstrip(b"\r\n") for line in old]
    own = [line[len(words) :] for line, words in zip(old, bare, strict=True)]
    usual = max((b"\r\n", b"\n", b"\r"), key=own.count)
    ends = [usual] * (len(new) - 1) + [b""]
    for _, there, there_end, here, here_end in difflib.SequenceMatcher(
        None, bare, new, autojunk=False
    ).get_opcodes():
        for was, now in zip(range(there, there_end), range(here, here_end), strict=False):
            if now < len(new) - 1 and own[was]:
                ends[now] = own[was]
    return b"".join(line + end for line, end in zip(new, ends, strict=True))
