"""What a new record needs: its number, and its text where that is made from one there is.

Numbers: a number counts as taken wherever it was ever written: in records, readable or not, in
their file names, in what was printed (`build.doubts` has these), in a commission that was accepted;
it is never given twice.
Text: from a piece and a new number and title, or from a commission and what was agreed; comments,
order and line ends stay as the maker wrote them. What a new piece can't share with the old one is
left out (photos, sale, history, story, place, shared work) or stands there as a note, to be filled
in and opened again (number of a set, size, weight, yarns, sundries, hours, price).
"""

import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from provenance.problems import Problems, Said, Slip
from provenance.records.folder import leads_inside
from provenance.records.text import Fields, quoted
from provenance.records.yaml_file import read_text

_STATUS = re.compile(r"(?m)^(status[ ]*:)[ \t]*[^#\r\n]*?([ \t]*(?:#[^\r\n]*)?)(?=\r?$)")
LEFT_OUT = frozenset(
    ("sale", "sales", "history", "photos", "story", "at", "status", "withdrawn", "kept", "shared",
     "subject", "distinguishing", "price on site", "earlier", "made of")
)  # fmt: skip
PUT_ASIDE = frozenset(
    ("finished", "makes", "size", "weight", "yarns", "sundries", "hours", "price")
)  # what draws on the shelf is a plan until it is weighed
_NUMBER = re.compile(r"\b(?:number|piece)\s*:\s*[\"']?([0-9]+(?:-[0-9]+)*)")
_COMMISSION = re.compile(r"\b(?:number|commission)\s*:?\s*[\"']?([0-9]{4}-C[0-9]+)")
_IN_NAME = re.compile(r"[0-9]+(?:-[0-9]+)*")
_COMMISSION_NAME = re.compile(r"[0-9]{4}-C[0-9]+")
_MOST_BYTES = 20_000_000


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
        end = following
        while end < len(lines) and lines[end - 1].startswith("#"):
            end -= 1  # notes directly above a word belong to it
        found += _written(starts[start], lines[top:start], lines[start:end], changed)
        if starts[start] == ("kind" if "kind" in value else "title"):
            found.append("status: in progress")
        top = end
    return "\n".join([*found, ""])


def _written(word: str, notes: list[str], lines: list[str], changed: dict[str, str]) -> list[str]:
    """One word of a record with all its lines."""
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


def with_agreement(raw: bytes, accepted: str) -> str:
    """A commission's text with `status: accepted` and `accepted: {...}`; Slip if they won't go in.

    It is read again and compared: nothing else has changed. The Slip names the lines to add.
    """
    text = raw.decode("utf-8")
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


def next_number(folder: Path, year: int, printed: Iterable[str]) -> str:
    """The next number of a piece: `2026-015`; beyond those that were `printed` too."""
    return f"{year}-{_after({*numbers_taken(folder), *printed}, f'{year}-'):03}"


def numbers_taken(folder: Path) -> set[str]:
    """Every number of a piece that stands in a record, or names its file."""
    return _taken(folder, "", _NUMBER, _IN_NAME)


def next_commission(folder: Path, year: int) -> str:
    """The next number of a commission: `2026-C04`."""
    taken = _taken(folder, "commissions", _COMMISSION, _COMMISSION_NAME)
    return f"{year}-C{_after(taken, f'{year}-C'):02}"


def free_name(folder: Path, stem: str) -> str:
    """A file name without ending that no record in the folder has: `bath`, `bath-2` ..."""
    there = {path.stem.lower() for path in _records(folder)}
    turn, name = 1, stem
    while name.lower() in there:
        turn += 1
        name = f"{stem}-{turn}"
    return name


def _taken(folder: Path, home: str, number: re.Pattern[str], name: re.Pattern[str]) -> set[str]:
    """Numbers in the text of pieces and commissions, and in the file names of their own folder."""
    found: set[str] = set()
    for sub in ("", "commissions"):
        for path in _records(folder, sub):
            found.update(number.findall(_text(path)))
            if sub == home and (named := name.match(path.name)):
                found.add(named[0])
    return found


def _after(taken: set[str], start: str) -> int:
    rest = [number.removeprefix(start) for number in taken if number.startswith(start)]
    return 1 + max((int(each) for each in rest if re.fullmatch("[0-9]{1,9}", each)), default=0)


def _records(folder: Path, sub: str = "") -> Iterator[Path]:
    """Files that are, were or may become records: `2026-014.yaml.txt` counts as well. What a killed
    run left beside the place of a file (`output.write_beside`) never became one."""
    place = folder / sub
    for path in sorted(place.iterdir()) if place.is_dir() else ():
        if path.name.startswith(".") and path.name.endswith(".new"):
            continue
        if ".y" in path.name.lower() and path.is_file() and leads_inside(path, folder):
            yield path


def _text(path: Path) -> str:
    try:
        return path.read_bytes()[:_MOST_BYTES].decode("utf-8", "replace")
    except OSError:
        return ""
