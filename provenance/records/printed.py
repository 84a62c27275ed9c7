"""studio/printed.yaml: every address and price ever printed, kept by the program, append only.

In: the file. Out: frozen lines in the order they were printed. A number that stands here must
resolve for ever and is never given to another piece. Each line carries, as `chain`, a digest of
all that stands before it and of itself (SHA-256, its first half), so that what was taken out, put
in or changed shows. Lines of earlier versions carry none: the first that does covers them.
"""

import hashlib
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import Annotated, Any

from provenance.problems import Place, Problems, Said
from provenance.records.fields import Day, PieceNumber, Reads, Text
from provenance.records.numbers import Habits
from provenance.records.reading import Record, read_record
from provenance.records.text import Items, Written, quoted, written
from provenance.records.yaml_file import read_text

MOST_BYTES = 20_000_000  # a studio that prints for forty years
FILE = "printed"  # the name without its ending, among the files in studio/
_DIGITS = 32
_CHAIN = re.compile(rb', chain: "([^"]*)"\}$')
_NUMBER = re.compile(rb', number: "([0-9-]+)"')
_MARK = b"\xef\xbb\xbf"  # put in front by some editors


class Printed(Record):
    """One paper printed on one day: which piece, which address, which price, which words.

    What `recover` puts back may lack its day or its title, where nothing tells them any more.
    """

    on: Day | None = None
    paper: Text
    number: PieceNumber
    title: Text | None = None
    address: Text | None = None
    price: Text | None = None
    digest: Annotated[Written, Reads(written)] = Written("")
    issue: Text | None = None
    chain: Text | None = None


def read_printed(
    open_file: Callable[[Path, int], Any | None], path: Path, problems: Problems
) -> tuple[Printed, ...]:
    """The lines of printed.yaml; no file means nothing was printed yet."""
    is_there = path.is_file() or path.is_symlink()  # a link that leads nowhere is told
    value = open_file(path, MOST_BYTES) if is_there else None
    if value is None or not value:
        return ()
    if not isinstance(value, Items):
        place = getattr(value, "place", Place(path.name, 1, 1))
        problems.add(place, Said("file.printed"), Said("file.kept"))
        return ()
    found = (read_record(Printed, each, Habits(), problems) for each in value)
    return tuple(line for line in found if line is not None)


def printed_line(line: Printed | dict[str, Any]) -> str:
    """One line of printed.yaml as text, not yet chained; every value quoted, so that it reads back
    as written."""
    fields = line if isinstance(line, dict) else line.model_dump(by_alias=True)
    fields = fields if fields.get("digest") else {**fields, "digest": None}
    parts = [
        f"{word}: {_quoted(value)}"
        for word, value in fields.items()
        if value is not None and not word.startswith("\0") and word != "chain"
    ]
    return "- {" + ", ".join(parts) + "}\n"


def _quoted(value: Any) -> str:
    return value.isoformat() if isinstance(value, date) else quoted(str(value).replace("\n", " "))


def chained(before: bytes, lines: str) -> str:
    """Lines as they are written after what stands there already: each with its `chain`."""
    digest, done = _digest_of(Chain(before).texts), ""
    for line in lines.splitlines():
        text = f'{line.removesuffix("}")}, chain: "{_tied(digest, line.encode())}"}}'
        digest.update(text.encode() + b"\n")
        done += f"{text}\n"
    return done


def lines_alone(raw: bytes) -> Iterator[Printed]:
    """Every line that can be read by itself, whatever its neighbours are like."""
    for text in Chain(raw).texts:
        value = read_text(text, "", Problems())
        for each in value if isinstance(value, Items) else ():
            if line := read_record(Printed, each, Habits(), Problems()):
                yield line


@dataclass(frozen=True)
class Chain:
    """The bytes of a printed.yaml as lines, each held against those before it.

    Line ends, blank lines and spaces at ends are nobody's business: editors and version control
    change them.
    """

    raw: bytes

    @cached_property
    def lines(self) -> tuple[tuple[int, bytes], ...]:
        """Number, from 1, and text of every line that says something."""
        told = enumerate(self.raw.removeprefix(_MARK).splitlines(), 1)
        return tuple((turn, text.rstrip()) for turn, text in told if text.strip())

    @property
    def texts(self) -> tuple[bytes, ...]:
        """The lines by themselves."""
        return tuple(text for _, text in self.lines)

    @property
    def contents(self) -> frozenset[bytes]:
        """What the lines say, whatever stands before them."""
        return frozenset(map(_alone, self.texts))

    @property
    def notes(self) -> tuple[str, ...]:
        """Lines that are no entries: what `recover` noted."""
        return tuple(t.decode("utf-8", "replace") for t in self.texts if t.startswith(b"#"))

    @property
    def count(self) -> int:
        """How many entries there are, readable or not."""
        return sum(text.startswith(b"- ") for text in self.texts)

    @property
    def numbers(self) -> set[str]:
        """The number of every line that the program wrote."""
        return {found.decode() for found in _NUMBER.findall(self.raw)}

    @cached_property
    def broken(self) -> int | None:
        """The number of the first line that does not fit what stands before it."""
        digest, is_chained = hashlib.sha256(), False
        for turn, text in self.lines:
            found = _CHAIN.search(text)
            if found and found[1].decode("ascii", "replace") != _tied(digest, _alone(text)):
                return turn
            is_chained = is_chained or bool(found)
            if is_chained and not found and not text.startswith(b"#"):
                return turn
            digest.update(text + b"\n")
        return None

    @property
    def sound(self) -> "Chain":
        """The lines up to the first that is broken, or was cut off before what ties it."""
        texts = [text for turn, text in self.lines if not self.broken or turn < self.broken]
        while texts and not (_CHAIN.search(texts[-1]) or texts[-1].startswith(b"#")):
            texts.pop()
        return self if len(texts) == len(self.lines) else Chain(b"\n".join([*texts, b""]))

    def begins(self, other: "Chain") -> bool:
        """Whether another one goes on from this, or says the same."""
        return other.texts[: len(self.texts)] == self.texts

    def parts_from(self, other: "Chain") -> tuple[int, int]:
        """Line and column, from 1, where this one first says something else than another."""
        pairs = zip(self.lines, other.texts, strict=False)
        differing = ((turn, mine, theirs) for (turn, mine), theirs in pairs if mine != theirs)
        after_all = (len(self.raw.splitlines()) + 1, b"", b"")
        turn, mine, theirs = next(differing, after_all)
        letters = enumerate(zip(mine, theirs, strict=False))
        shorter = min(len(mine), len(theirs))
        column = next((at for at, (one, two) in letters if one != two), shorter)
        return turn, len(mine[:column].decode("utf-8", "replace")) + 1


def _digest_of(texts: tuple[bytes, ...]) -> Any:
    return hashlib.sha256(b"".join(text + b"\n" for text in texts))


def _alone(text: bytes) -> bytes:
    """A line without what ties it to those before it."""
    return _CHAIN.sub(b"}", text)


def _tied(digest: Any, alone: bytes) -> str:
    """What ties a line to those before it, whose digest is given."""
    own = digest.copy()
    own.update(alone)
    return str(own.hexdigest())[:_DIGITS]
