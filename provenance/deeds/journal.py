"""studio/deeds.yaml: what was done, a line a deed, so that it can be taken back.

In: a deed that is about to be done. Out: a line with each file's digest before and after, and the
signs that changed; and from the last line the deed that takes it back, while the files still say
what it left them saying.
"""

import hashlib
import json
import re
from collections.abc import Iterator, Mapping
from datetime import date
from difflib import SequenceMatcher
from pathlib import Path
from typing import Any

from provenance.deeds.deed import Change, Deed, hunks_of
from provenance.output import disk_told, write_file
from provenance.press.file_names import inside
from provenance.problems import Said, Slip

FILE = "deeds"  # the name without its ending, among the files in studio/
MOST = 100
_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")
_WORD = re.compile(r"[\w.-]+")
Entry = Mapping[str, Any]


def entries(folder: Path) -> list[Entry]:
    """Every deed that can be taken back, oldest first. Raises Slip for a line that was spoilt."""
    path = _path(folder)
    with disk_told(path):
        text = path.read_bytes().decode("utf-8", "surrogateescape") if path.is_file() else ""
    found: list[Entry] = []
    for turn, line in enumerate(text.split("\n"), 1):
        if line:
            try:
                found.append(dict(json.loads(line.removeprefix("- "))))
            except ValueError:
                place = f"{folder.name}/studio/{FILE}.yaml:{turn}"
                raise Slip(Said("deed.journal", place=place), Said("deed.remove_line")) from None
    return found


def note(folder: Path, deed: Deed, on: date) -> None:
    """Write a deed down before it is done; one that was killed half-way becomes one with it, so
    that both halves are taken back together."""
    files = {each["file"]: each for each in (_noted(folder, change) for change in deed.changes)}
    begun, kept = half_done(folder, deed.words), entries(folder)
    if begun:
        kept.pop()
        for each in begun:
            now = files.get(each["file"], each)
            files[each["file"]] = now if now is each else {**now, "was": None, "signs": []}
    last = str(kept[-1].get("on", "")) if kept else ""
    day = max(on.isoformat(), last)  # the clock may have gone backwards
    entry = {"on": day, "deed": deed.words, "files": list(files.values())}
    keep(folder, [*kept, entry][-MOST:])


def half_done(folder: Path, words: str) -> list[Entry]:
    """The files that the last deed has written, where it was these words and was killed before it
    had written all. None where a file that was there before would be written once more."""
    last = next(reversed(entries(folder)), None)
    if last is None or last["deed"] != words:
        return []
    now = {each["file"]: _digest(_content(folder / each["file"])) for each in last["files"]}
    written = [each for each in last["files"] if now[each["file"]] == each["is"]]
    waiting = [each for each in last["files"] if now[each["file"]] == each["was"]]
    return written if waiting else []


def keep(folder: Path, kept: list[Entry]) -> None:
    """The journal with these deeds and no other; without any it is gone."""
    if not kept:
        with disk_told(_path(folder)):
            _path(folder).unlink(missing_ok=True)
        return
    lines = (f"- {json.dumps(entry, ensure_ascii=False)}\n" for entry in kept)
    write_file(_path(folder), "".join(lines).encode("utf-8", "surrogateescape"))


def _path(folder: Path) -> Path:
    return folder / "studio" / f"{FILE}.yaml"


def _content(path: Path) -> bytes | None:
    with disk_told(path):
        return path.read_bytes() if path.exists() else None


def _digest(content: bytes | None) -> str | None:
    return None if content is None else hashlib.sha256(content).hexdigest()


def _alike(one: str, other: str) -> int:
    """How many signs two texts begin with alike."""
    pairs = enumerate(zip(one, other, strict=False))
    return next((turn for turn, (a, b) in pairs if a != b), min(len(one), len(other)))


def _cut(beside: str, *edges: str) -> int:
    """How many signs beside a change belong to a word that it cuts in two: `480` to `430`."""
    found = _WORD.match(beside)
    return found.end() if found and any(map(_WORD.match, edges)) else 0


def _noted(folder: Path, change: Change) -> Entry:
    old, new = ((content or b"").decode() for content in (change.before, change.after))
    line = next((hunk.place.line for hunk in hunks_of(change)), 1)
    return {
        "file": change.path.relative_to(folder).as_posix(), "line": line,
        "was": _digest(change.before), "is": _digest(change.after),
        "signs": list(_signs(old, new)) if change.before is not None else [],
    }  # fmt: skip


def _signs(old: str, new: str) -> Iterator[Entry]:
    """What stands in the new text where, in place of what; whole words, line by line."""
    before, after = (_LINE.findall(text) for text in (old, new))
    steps = SequenceMatcher(None, before, after, autojunk=False).get_opcodes()
    for how, first, last, new_first, new_last in steps:
        for turn in range(max(last - first, new_last - new_first) if how != "equal" else 0):
            gone = "".join(before[min(first + turn, last) : min(first + turn + 1, last)])
            line = min(new_first + turn, new_last)
            come = "".join(after[line : min(line + 1, new_last)])
            start, gone, come = _words_that_differ(gone, come)
            yield {"at": len("".join(after[:line])) + start, "old": gone, "new": come}


def _words_that_differ(one: str, other: str) -> tuple[int, str, str]:
    """What two lines do not share, and where it begins."""
    start = _alike(one, other)
    end = _alike(one[start:][::-1], other[start:][::-1])
    parts = [text[start : len(text) - end] for text in (one, other)]
    start -= _cut(one[:start][::-1], *(part[:1] for part in parts))
    end -= _cut(one[len(one) - end :], *(part[-1:] for part in parts))
    return start, one[start : len(one) - end], other[start : len(other) - end]


def undoing(folder: Path) -> tuple[Deed, list[Entry]]:
    """The deed that takes the last one back, and the journal as it is then.

    Raises Slip where there is none, or a file was changed since.
    """
    kept = entries(folder)
    while kept:
        last = kept.pop()
        changes = tuple(_turned_back(folder, last))
        if changes:
            said = Said("deed.undoes", deed=str(last["deed"]), day=str(last["on"]))
            return Deed(f"undo {last['deed']}", changes, (said,)), kept
    raise Slip(Said("deed.nothing_to_undo"))


def _turned_back(folder: Path, entry: Entry) -> Iterator[Change]:
    """The files that have still to be turned back; those that were never written need it not."""
    for each in entry["files"]:
        path, name = inside(folder, each["file"]), f"{folder.name}/{each['file']}"
        now = _content(path)
        if _digest(now) == each["was"]:
            continue
        before = _before(now, each) if _digest(now) == each["is"] else b""
        if now is None or _digest(before) != each["was"]:
            raise Slip(_changed_since(name, now, each, entry), _by_hand(each))
        yield Change(path, name, now, before)


def _before(now: bytes | None, each: Entry) -> bytes | None:
    if each["was"] is None or now is None:
        return None
    text = now.decode()
    for sign in reversed(each["signs"]):
        start = int(sign["at"])
        text = text[:start] + sign["old"] + text[start + len(sign["new"]) :]
    return text.encode()


def _changed_since(name: str, now: bytes | None, each: Entry, entry: Entry) -> Said:
    """Where the deed's words stand now; else where they stood."""
    text, new = (now or b"").decode("utf-8", "replace"), "".join(_new(each)[:1])
    at = text.find(new.lstrip()) if new.strip() else -1
    line = text.count("\n", 0, at) + 1 if at >= 0 else each["line"]
    return Said("deed.changed_since", place=f"{name}:{line}", deed=str(entry["deed"]))


def _new(each: Entry) -> list[str]:
    return [str(sign["new"]) for sign in each["signs"]]


def _by_hand(each: Entry) -> Said:
    """What to write, or to take out, in place of what the deed wrote."""
    steps = []
    for sign in each["signs"]:
        new, old = (" ".join(sign[word].split()) for word in ("new", "old"))
        key = "deed.turn_back" if old else "deed.take_out"
        steps.append(Said(key, new=new, old=old))
    return Said("deed.by_hand", steps=tuple(steps)) if steps else Said("deed.throw_away")
