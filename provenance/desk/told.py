"""What is wrong with a record, at its lines, as plain values for the browser.

In: a record file as it lies there, a reading of the studio. Out: the answer of `/read` and `/save`:
text, digest, problems with line, column, length, words and remedy; what else there is to know.
"""

import re
from pathlib import Path
from typing import Any

from provenance.desk.memory import Seen
from provenance.desk.records import KEPT_BY_US, path_of, place_of
from provenance.desk.saving import digest_of, text_of
from provenance.language.phrases import Phrases
from provenance.problems import Problem, Said, Slip, Words

Read = dict[str, Any]
_WORD = re.compile(r"""[^\s,{}\[\]#"']+(?: [^\s,:{}\[\]#"']+)*""")


def read_of(path: Path, name: str, seen: Seen, phrases: Phrases) -> Read:
    """All that the desk shows of one record file; `path` is where it lies."""
    content = path.read_bytes()
    text, file = text_of(content), place_of(seen.studio.book.folder, name)
    lines, problems = text.split("\n"), seen.studio.problems
    own = [each for each in problems if each.place.file == file]
    wrong = (each for each in seen.studio.mistakes if each.place.file != file)
    numbers = numbers_of(seen, file)
    return {
        "path": name,
        "read only": name in KEPT_BY_US,
        "text": text,
        "digest": digest_of(content),
        "problems": [problem_of(each, lines, seen, phrases) for each in own],
        "others": sum(1 for _ in wrong),
        "numbers": numbers,
        "title": _title(seen, file, name),
        "seen": f"{seen.at:%H:%M:%S}",
        "seconds": round(seen.seconds, 2),
        "count": seen.count,
        "last_good": file in seen.wrong_files,
    }


def unread(path: Path, name: str, slip: Slip, phrases: Phrases) -> Read:
    """The same where no studio can be read at all: the file, and why."""
    content = path.read_bytes()
    why = {"line": 0, "column": 0, "length": 0, "mistake": True, "place": "",
           "words": phrases.tell(slip.what), "remedy": phrases.tell(slip.remedy)}  # fmt: skip
    return {
        "path": name, "text": text_of(content), "digest": digest_of(content), "problems": [why],
        "others": 0, "numbers": [], "title": name, "seen": "", "seconds": 0.0, "count": 0,
        "last_good": False, "read only": name in KEPT_BY_US,
    }  # fmt: skip


def problem_of(each: Problem, lines: list[str], seen: Seen, phrases: Phrases) -> dict[str, Any]:
    """One mistake or remark; `length` is that of the word at its place."""
    place = each.place
    line = lines[place.line - 1] if 0 < place.line <= len(lines) else ""
    word = _WORD.match(line, max(place.column - 1, 0))
    return {
        "line": place.line,
        "column": place.column,
        "length": len(word[0]) if word else 0,
        "mistake": not each.is_remark,
        "words": phrases.tell(each.what),
        "remedy": phrases.tell(each.remedy),
        "instead": _instead(each.remedy),
        "place": path_of(seen.studio.book.folder, str(place)),
    }


def _instead(remedy: Words) -> str:
    """The one word that a remedy would have at the place of the wrong one; '' for none."""
    pairs = dict(remedy.pairs) if isinstance(remedy, Said) else {}
    near = pairs.get("near", "")
    return near if isinstance(near, str) else ""


def numbers_of(seen: Seen, file: str) -> list[str]:
    """The pieces that are seen from a file: its own; those made with what a bath gave."""
    book = seen.studio.book
    own = [number for number, each in book.pieces.items() if each.record_place.file == file]
    if own:
        return own
    lots = {name for name, dyed in book.dyed.items() if dyed.bath.record_place.file == file}
    return [
        number
        for number, each in (book.pieces.items() if lots else ())
        if lots & {str(use.lot) for use in each.yarns if use.lot}
    ]


def files_of(seen: Seen, number: str) -> frozenset[str]:
    """The files that a piece comes from: its own, its baths', the studio's."""
    book, piece = seen.studio.book, seen.studio.book.pieces.get(number)
    studio = {file for file in book.digests if file.startswith(f"{book.folder.name}/studio/")}
    if piece is None:
        return frozenset(studio)
    found, waiting = {piece.record_place.file}, [str(use.lot) for use in piece.yarns if use.lot]
    while waiting:
        dyed = book.dyed.get(waiting.pop())
        if dyed and dyed.bath.record_place.file not in found:
            found.add(dyed.bath.record_place.file)
            waiting += [str(entry.yarn) for entry in dyed.bath.dyed if entry.yarn]
    return frozenset(found | studio)


def _title(seen: Seen, file: str, name: str) -> str:
    book = seen.studio.book
    for records in (book.pieces, book.commissions, book.shows):
        for record in records.values():
            if record.record_place.file == file:
                return str(getattr(record, "title", "") or name)
    return name
