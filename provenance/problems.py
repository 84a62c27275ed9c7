"""Places in the maker's records, what is wrong there, and sentences that wait for their language.

In: a place (file, line, column) and words. Out: frozen problems, a collector that keeps
them in order, and "did you mean". Everything that finds fault with a record says so here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where something is written; line and column count from 1, 0 means the whole file."""

    file: str
    line: int = 0
    column: int = 0

    def __reduce__(self) -> tuple[Any, ...]:
        return Place, (self.file, self.line, self.column)  # sooner than field by field

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}" if self.line else self.file

    @property
    def short(self) -> str:
        """File and line, as used when one place is mentioned in another place's message."""
        return f"{self.file}:{self.line}" if self.line else self.file


NOWHERE = Place("")


@dataclass(frozen=True, slots=True, init=False)
class Said:
    """A sentence of ours before it has words: `language/` has them under its key, a language each.

    Values are the maker's own words (text), numbers (a `Fraction` gets the form of the language),
    dates, places, further sentences, or a tuple of these, which is told as a list: a, b and c.
    """

    key: str
    pairs: tuple[tuple[str, Any], ...]

    def __init__(self, key: str, /, **values: Any) -> None:
        object.__setattr__(self, "key", key)
        object.__setattr__(self, "pairs", tuple(values.items()))

    def __bool__(self) -> bool:
        return bool(self.key)

    def __lt__(self, other: Said | str) -> bool:
        return sort_key(self) < sort_key(other)

    def __gt__(self, other: Said | str) -> bool:
        return sort_key(other) < sort_key(self)


Words = Said | str
SILENCE = Said("")


def chained(link: str, items: Iterable[Words]) -> Said:
    """Things in their order, each tied to those before by the phrase `link`; silence for none."""
    found = tuple(items)
    return Said("form.chain", link=link, items=found) if found else SILENCE


def sort_key(words: Words) -> tuple[str, str]:
    """An order for sentences of ours and words of the maker's."""
    if not isinstance(words, Said):
        return words, ""
    return words.key, " ".join(str(value) for _, value in words.pairs)


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One mistake (must be mended) or one remark (worth a look), with what would be right."""

    place: Place
    what: Words
    remedy: Words = ""
    is_remark: bool = False

    @property
    def weight(self) -> str:
        return "remark" if self.is_remark else "problem"

    def as_slip(self) -> Slip:
        """What ends a command because of it: told with its place."""
        what = Said("problem.placed", place=str(self.place), what=self.what)
        return Slip(what, self.remedy)


class Slip(ValueError):
    """A value that cannot be read; the caller makes a Problem of it, at its place if it has one."""

    def __init__(self, what: Words, remedy: Words = "", place: Place | None = None) -> None:
        super().__init__(what)
        self.what = what
        self.remedy = remedy
        self.place = place

    def at(self, place: Place) -> Slip:
        """The same slip at a place, unless it knows a nearer one."""
        return Slip(self.what, self.remedy, self.place or place)


class WrongWish(Slip):
    """What was asked of a command can't be meant, whatever the records say."""


@dataclass(slots=True)
class Problems:
    """Collects problems while records are read; equal ones are kept once."""

    _found: dict[Problem, None] = field(default_factory=dict)

    def add(
        self, place: Place, what: Words, remedy: Words = "", *, is_remark: bool = False
    ) -> None:
        self._found[Problem(place, what, remedy, is_remark)] = None

    def extend(self, problems: Iterable[Problem]) -> None:
        self._found.update(dict.fromkeys(problems))

    def __iter__(self) -> Iterator[Problem]:
        return iter(sorted(self._found))

    def __len__(self) -> int:
        return len(self._found)

    def __bool__(self) -> bool:
        return any(not problem.is_remark for problem in self._found)


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word most like `word`, or None when nothing is near (ratio below 0.6)."""
    import difflib  # only when something was misspelt

    by_lower = {name.lower(): name for name in known}
    found = difflib.get_close_matches(word.lower(), by_lower, n=1, cutoff=0.6)
    return by_lower[found[0]] if found else None


def did_you_mean(word: str, known: Iterable[str]) -> Said:
    """A remedy naming the nearest known word, else the whole short list, else nothing."""
    names = tuple(known)
    if near := nearest(word, names):
        return Said("problem.near", near=near)
    return Said("problem.known", names=row(names)) if 0 < len(names) <= 12 else SILENCE


def named(group: str, word: str) -> Said:
    """A word of a record that may be one of ours (an activity, a use of yarn); else the maker's."""
    return Said("form.named", group=group, word=word)


def sort(kind: str) -> Said:
    """A kind of piece, inside a sentence."""
    return Said("form.sort", kind=kind)


def row(names: Iterable[Words]) -> Said:
    """Words of a record, or of the maker's, one after another: a, b, c."""
    return Said("form.row", names=tuple(names))
