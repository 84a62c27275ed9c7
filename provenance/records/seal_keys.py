"""studio/keys.yaml: the public halves of the keys that statements are signed with, kept by the
program.

In: the file. Out: frozen lines, the key in use first. What a key signed stays genuine as long as
its line stands here, whether it is used any more or not: no line is ever taken out. The secret half
never comes into the record folder.
"""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any

from provenance.problems import Place, Problems, Said, Slip
from provenance.records.fields import Day, Reads
from provenance.records.numbers import Habits
from provenance.records.reading import Record, read_record
from provenance.records.text import Items, Written

FILE = "keys"  # the name without its ending, among the files in studio/
_KEY = re.compile("z6Mk[1-9A-HJ-NP-Za-km-z]{44}")  # Ed25519 as Multikey text


def _key(text: str, _habits: Habits | None = None) -> Written:
    if not _KEY.fullmatch(text.strip()):
        raise Slip(Said("key.no_key", text=text[:60]), Said("key.kept"))
    return Written(text.strip())


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


def keys_text(lines: tuple[SealKey, ...] | list[SealKey]) -> str:
    """The lines as the text of the file."""
    told = []
    for line in lines:
        days = {"from": line.from_, "until": line.until, "withdrawn": line.withdrawn}
        said = "".join(f", {word}: {day.isoformat()}" for word, day in days.items() if day)
        told.append(f'- {{key: "{line.key}"{said}}}\n')
    return "".join(told)
