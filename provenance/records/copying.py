"""A record's text made from one there is, all else left as the maker wrote it.

In: the text of a piece and a new number and title, or that of a commission and what was agreed.
Out: text; comments, order and line ends stay. What a new piece can't share with the old one is
left out (photos, sale, history, story, place, shared work) or stands there as a note, to be filled
in and opened again (size, weight, hours, price). A commission is read again and compared, so that
nothing but `status` and `accepted` has changed; Slip, with the lines to add by hand, where that
cannot be done safely.
"""

import re
from pathlib import Path

from provenance.problems import Problems, Said, Slip
from provenance.records.text import Fields, quoted
from provenance.records.yaml_file import read_text

_STATUS = re.compile(r"(?m)^(status[ ]*:)[ \t]*[^#\r\n]*?([ \t]*(?:#[^\r\n]*)?)(?=\r?$)")
LEFT_OUT = frozenset(
    ("sale", "history", "photos", "story", "at", "status", "withdrawn", "kept", "shared",
     "subject", "distinguishing", "price on site")
)  # fmt: skip
PUT_ASIDE = frozenset(("finished", "size", "weight", "hours", "price"))


def like_text(path: Path, number: str, title: str) -> str:
    """The record of a piece as the start of another; Slip when its lines can't be told apart."""
    raw = path.read_bytes()
    value = _fields(raw)
    if value is None:
        raise Slip(Said("file.unreadable", file=path.name), Said("file.see_check"))
    starts = {value.word(word).place.line - 1: str(word) for word in value}
    if len(starts) < len(value):
        raise Slip(Said("file.one_line", file=path.name), Said("file.copy_by_hand"))
    text = raw.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
    lines = text.rstrip("\n").split("\n")
    changed = {"number": number, "title": title}
    first, *more = sorted(starts)
    found = [line for line in lines[:first] if not line.startswith("# yaml-language-")]
    top = first
    for start, following in zip([first, *more], [*more, len(lines)], strict=True):
        end = _notes_start(lines, following) if following < len(lines) else following
        found += _written(starts[start], lines[top:start], lines[start:end], changed)
        if starts[start] == ("kind" if "kind" in value else "title"):
            found.append("status: in progress")
        top = end
    return "\n".join([*found, ""])


def _notes_start(lines: list[str], line: int) -> int:
    """The first of the notes that stand directly above a word, at its indentation."""
    while line and re.match(r"#", lines[line - 1]):
        line -= 1
    return line


def _written(word: str, notes: list[str], lines: list[str], changed: dict[str, str]) -> list[str]:
    """One word of a record with all its lines; notes above it belong to it."""
    if word in LEFT_OUT:
        return []
    if word in PUT_ASIDE:
        return [*notes, *(f"# {line}".rstrip() for line in lines)]
    if word in changed:
        note = re.search(r"\s+#\s.*$", lines[0])
        kept = note[0] if note and len(lines) == 1 else ""
        return [*notes, f"{word}: {changed[word]}{kept}"]
    return [*notes, *lines]


def plain_or_quoted(text: str) -> str:
    """Text as a value of a record: bare where that is safe, else in double quotes."""
    text = " ".join(text.split())
    if re.fullmatch(r"[^\W\d_][\w ,.'()&!?-]*", text) and text.lower() not in ("yes", "no", "null"):
        return text
    return quoted(text)


def words_in_name(title: str) -> str:
    """A title as part of a file name: `Saltmarsh, second` -> `saltmarsh-second`."""
    words = re.findall(r"[^\W_]+", title.lower())
    return "-".join(words)[:60].rstrip("-")


def with_agreement(text: str, accepted: str) -> str:
    """The text with `status: accepted` and a line `accepted: {...}`; Slip if they won't go in."""
    end = "\r\n" if "\r\n" in text else "\n"
    text = text if text.endswith(("\n", "\r")) else text + end
    before = _fields(text.encode())
    by_hand = Said("agreed.by_hand", accepted=accepted)
    if before is None or text.lstrip("\ufeff").lstrip().startswith("{"):
        raise Slip(Said("agreed.no_lines"), by_hand)
    if "accepted" in before:
        raise Slip(Said("agreed.already"), Said("agreed.take_away"))
    changed = _STATUS.sub(r"\1 accepted\2", text, count=1) if "status" in before else text
    added = [] if "status" in before else ["status: accepted"]
    changed += "".join(line + end for line in [*added, f"accepted: {accepted}"])
    after = _fields(changed.encode())
    if not after or not after.pop("accepted", "") or after != {**before, "status": "accepted"}:
        raise Slip(Said("agreed.not_safely"), by_hand)
    return changed


def _fields(raw: bytes) -> Fields | None:
    found = read_text(raw, "", Problems())
    return found if isinstance(found, Fields) else None
