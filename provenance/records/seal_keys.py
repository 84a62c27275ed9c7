"""studio/keys.yaml: the public halves of the keys that statements are signed with, kept by the
program.

In: the file. Out: frozen lines, the key in use first. What a key signed stays genuine as long as
its line stands here, whether it is used any more or not: no line is ever taken out. The secret half
never comes into the record folder.
"""

import re
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Annotated, Any

from provenance.problems import Place, Problems, Said, Slip
from provenance.records.fields import Day, Reads
from provenance.records.numbers import Habits
from provenance.records.reading import Record, read_record
from provenance.records.text import Items, Written

FILE = "keys"  # the name without its ending, among the files in studio/
_KEY = re.compile("z6Mk[1-9A-HJ-NP-Za-km-z]{44}")  # Ed25519 as Multikey text
_LETTERS = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz"  # of base 58
_ED25519 = 0xED01  # its first two bytes (Controlled Identifiers v1.0, 2.2.2); 32 follow


def _key(text: str, _habits: Habits | None = None) -> Written:
    if not _is_key(text.strip()):
        raise Slip(Said("key.no_key", text=text[:60]), Said("key.kept"))
    return Written(text.strip())


def _is_key(text: str) -> bool:
    number = 0
    for letter in text[1:] if _KEY.fullmatch(text) else "":
        number = number * 58 + _LETTERS.index(letter)
    return number >> 256 == _ED25519


class SealKey(Record):
    """A key: the days from and until it was used, and the day it was withdrawn, where others may
    have its secret half."""

    key: Annotated[Written, Reads(_key, type="string")]
    from_: Day
    until: Day | None = None
    withdrawn: Day | None = None

    @property
    def is_used(self) -> bool:
        """Whether new statements are signed with it."""
        return self.until is None and self.withdrawn is None


def read_keys(
    open_file: Callable[[Path], Any | None], path: Path, problems: Problems
) -> tuple[SealKey, ...]:
    """The lines of keys.yaml; no file means that nothing is signed."""
    value = open_file(path) if path.is_file() else None
    if value is None or not value:
        return ()
    if not isinstance(value, Items):
        place = getattr(value, "place", Place(path.name, 1, 1))
        problems.add(place, Said("key.no_list"), Said("key.kept"))
        return ()
    found = (read_record(SealKey, each, Habits(), problems) for each in value)
    lines = [line for line in found if line is not None]
    return tuple(sorted(lines, key=lambda line: not line.is_used))


def line_of(key: str, since: date) -> str:
    """The line of a key that is used from a day."""
    return f'- {{key: "{key}", from: {since.isoformat()}}}\n'


def with_line(text: str, line: str) -> str:
    """The file with a line more, before the others; what stands there stays."""
    found = re.search("^-", text, re.MULTILINE)
    at = found.start() if found else len(text)
    before = text[:at] if not text[:at] or text[:at].endswith("\n") else f"{text[:at]}\n"
    return before + line + text[at:]


def with_days(text: str, key: str, **days: date) -> str:
    """The file with days more in the line of a key (`until`, `withdrawn`); nothing else in it
    changes. Slip where that line isn't found."""
    said = [f"{word}: {day.isoformat()}" for word, day in days.items()]
    in_braces = re.search(rf"^-[ \t]*\{{[^#\n}}]*{key}[^#\n}}]*", text, re.MULTILINE)
    if in_braces:
        at = in_braces.end()
        return text[:at] + "".join(f", {each}" for each in said) + text[at:]
    below = re.search(rf"^([ \t-]*)key:[^\n]*{key}[^\n]*\n", text, re.MULTILINE)
    if not below:
        raise Slip(Said("key.no_line", key=key), Said("key.kept"))
    gap = " " * len(below[1])
    return text[: below.end()] + "".join(f"{gap}{e}\n" for e in said) + text[below.end() :]
