"""A new piece's record out of an old one: the same text, with what differs put aside.

In: the record of a piece, a new number and title. Out: text. Comments and order are kept. What the
new piece can't share with the old one is left out (photos, sale, history, story, place, shared
work) or stands there as a note, to be filled in and opened again (size, weight, hours, price).
"""

import re
from dataclasses import dataclass
from pathlib import Path

from provenance.problems import Problems, Said, Slip
from provenance.records.text import Fields
from provenance.records.yaml_file import read_text

LEFT_OUT = frozenset(
    ("sale", "history", "photos", "story", "at", "status", "withdrawn", "kept", "shared",
     "subject", "distinguishing", "price on site")
)  # fmt: skip
PUT_ASIDE = frozenset(("finished", "size", "weight", "hours", "price"))


@dataclass(frozen=True, slots=True)
class _Block:
    """One word of a record with all its lines; notes above it belong to it."""

    word: str
    notes: tuple[str, ...]
    lines: tuple[str, ...]


def like_text(path: Path, number: str, title: str) -> str:
    """The record of a piece as the start of another; Slip when its lines can't be told apart."""
    raw = path.read_bytes()
    value = read_text(raw, path.name, Problems())
    text = raw.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
    if not isinstance(value, Fields):
        raise Slip(Said("file.unreadable", file=path.name), Said("file.see_check"))
    starts = [(str(word), value.word(word).place.line - 1) for word in value]
    if len({line for _, line in starts}) < len(starts):
        raise Slip(Said("file.one_line", file=path.name), Said("file.copy_by_hand"))
    lines = text.rstrip("\n").split("\n")
    head, blocks = _blocks(lines, sorted(starts, key=lambda each: each[1]))
    changed = {"number": number, "title": title}
    above = "kind" if "kind" in value else "title"
    written: list[str] = []
    for block in blocks:
        written += _written(block, changed)
        if block.word == above:
            written.append("status: in progress")
    return "\n".join([*head, *written, ""])


def _blocks(lines: list[str], starts: list[tuple[str, int]]) -> tuple[list[str], list[_Block]]:
    """The lines before the first word, and the words with theirs."""
    ends = [_notes_start(lines, line) for _, line in starts[1:]] + [len(lines)]
    notes = [starts[0][1], *ends[:-1]] if starts else []
    blocks = [
        _Block(word, tuple(lines[above:line]), tuple(lines[line:end]))
        for (word, line), above, end in zip(starts, notes, ends, strict=True)
    ]
    head = [line for line in lines[: starts[0][1]] if not line.startswith("# yaml-language-")]
    return head, blocks


def _notes_start(lines: list[str], line: int) -> int:
    """The first of the notes that stand directly above a word, at its indentation."""
    while line and re.match(r"#", lines[line - 1]):
        line -= 1
    return line


def _written(block: _Block, changed: dict[str, str]) -> list[str]:
    if block.word in LEFT_OUT:
        return []
    if block.word in PUT_ASIDE:
        return [*block.notes, *(f"# {line}".rstrip() for line in block.lines)]
    if block.word in changed:
        note = re.search(r"\s+#\s.*$", block.lines[0])
        kept = note[0] if note and len(block.lines) == 1 else ""
        return [*block.notes, f"{block.word}: {changed[block.word]}{kept}"]
    return [*block.notes, *block.lines]


def plain_or_quoted(text: str) -> str:
    """Text as a value of a record: bare where that is safe, else in double quotes."""
    text = " ".join(text.split())
    if re.fullmatch(r"[^\W\d_][\w ,.'()&!?-]*", text) and text.lower() not in ("yes", "no", "null"):
        return text
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def words_in_name(title: str) -> str:
    """A title as part of a file name: `Saltmarsh, second` -> `saltmarsh-second`."""
    words = re.findall(r"[^\W_]+", title.lower())
    return "-".join(words)[:60].rstrip("-")
