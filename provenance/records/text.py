"""What stands in a record file: text, mappings and lists, each of which knows its place.

In: nothing; `yaml_file` makes these. Out: `Written` (text as the maker typed it), `Fields` and
`Items`. They are strings, dicts and lists to everything that does not ask for their places.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Self

from provenance.problems import NOWHERE, Place, Said, Slip


class Written(str):
    """Text as the maker wrote it, with its place.

    `quoted` when it stood in quotes or in a block; `block` when it starts on the line below.
    """

    place: Place
    quoted: bool
    block: bool

    def __new__(
        cls, text: str, place: Place = NOWHERE, *, quoted: bool = False, block: bool = False
    ) -> Self:
        self = super().__new__(cls, text)
        self.place = place
        self.quoted = quoted
        self.block = block
        return self

    @property
    def is_empty(self) -> bool:
        """Nothing at all is written; "" in quotes is an empty text on purpose."""
        return not self.quoted and self == ""

    @classmethod
    def of(cls, text: str) -> Written:
        """The same text; words of a record know their place although typed as plain text."""
        return text if isinstance(text, Written) else cls(text)


def written(value: Any) -> Written:
    """Any single value as text; a list or mapping is a slip."""
    if isinstance(value, str):
        return Written.of(value)
    raise Slip(Said("value.single"))


def quoted(text: str) -> str:
    """Text in double quotes, to be read back as it is."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


class Fields(dict[str, Any]):
    """A mapping of a record, with its place; its words are `Written` and know theirs."""

    def __init__(self, place: Place, words: Iterable[tuple[Written, Any]] = ()) -> None:
        super().__init__(words)
        self.place = place

    def word(self, word: str) -> Written:
        """The word as it was written, with its place."""
        return Written.of(next(each for each in self if each == word))


class Items(list[Any]):
    """A list of a record, with its place."""

    def __init__(self, place: Place, values: Iterable[Any] = ()) -> None:
        super().__init__(values)
        self.place = place
