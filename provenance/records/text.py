"""From the bytes of a record file to values that know their place.

In: bytes of a YAML file and its name. Out: `Fields` (mappings), lists and `Written` (text),
each with its `Place`; or a problem. Only YAML's syntax is used, never its guesses: `no`,
`12:30` and `010` stay the text that was typed. Events are read one by one with a depth and
size limit, so no nesting, alias or merge key can grow beyond its bounds.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any, NoReturn

import yaml

from provenance.problems import NOWHERE, Place, Problems

_Loader: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)

MOST_BYTES = 2_000_000
MOST_DEPTH = 24
MOST_VALUES = 50_000
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\x85\u2028\u2029\ufffe\uffff]")
_INDENT_TAB = re.compile(r"^[ ]*\t", re.MULTILINE)


class Written(str):
    """Text as the maker wrote it, with its place; `quoted` when it stood in quotes."""

    place: Place
    quoted: bool

    def __new__(cls, text: str, place: Place = NOWHERE, *, quoted: bool = False) -> Written:
        self = super().__new__(cls, text)
        self.place = place
        self.quoted = quoted
        return self

    def __reduce__(self) -> tuple[Any, ...]:
        return (Written, (str(self), self.place))

    @classmethod
    def of(cls, text: str) -> Written:
        """The same text; words of a record know their place although typed as plain text."""
        return text if isinstance(text, Written) else cls(text)


class Fields(dict[str, Any]):
    """A mapping of a record, with its place; its words are `Written` and know theirs."""

    place: Place

    def __init__(self, place: Place) -> None:
        super().__init__()
        self.place = place

    def word(self, word: str) -> Written:
        """The word as it was written, with its place."""
        return Written.of(next(each for each in self if each == word))


class Items(list[Any]):
    """A list of a record, with its place."""

    place: Place

    def __init__(self, place: Place) -> None:
        super().__init__()
        self.place = place


class _Unreadable(Exception):
    """Reading of this file ends here; the problem has been noted."""


@dataclass(slots=True)
class _Reader:
    """Builds values from parser events, within bounds."""

    file: str
    problems: Problems
    loader: Any
    anchors: dict[str, Any] = field(default_factory=dict)
    count: int = 0

    def stop(self, place: Place, what: str, remedy: str = "") -> NoReturn:
        self.problems.add(place, what, remedy)
        raise _Unreadable

    def place(self, event: Any) -> Place:
        mark = event.start_mark
        return Place(self.file, mark.line + 1, mark.column + 1)

    def counted(self, place: Place, amount: int = 1) -> None:
        self.count += amount
        if self.count > MOST_VALUES:
            self.stop(
                place,
                "this file unfolds into too many values",
                "write the record out plainly, without references inside references",
            )

    def document(self) -> Any:
        self.loader.get_event()
        if self.loader.check_event(yaml.StreamEndEvent):
            return Fields(Place(self.file, 1, 1))
        self.loader.get_event()
        value = self.value(self.loader.get_event(), 0)
        self.loader.get_event()
        if not self.loader.check_event(yaml.StreamEndEvent):
            place = self.place(self.loader.get_event())
            self.stop(place, "a second record starts here with '---'", "one record per file")
        return value

    def value(self, event: Any, depth: int) -> Any:
        place = self.place(event)
        self.counted(place)
        if depth > MOST_DEPTH:
            self.stop(place, "nested too deeply", "a record needs only a few levels")
        if isinstance(event, yaml.AliasEvent):
            return self.alias(event, place)
        if isinstance(event, yaml.ScalarEvent):
            made: Any = Written(event.value, place, quoted=bool(event.style))
        elif isinstance(event, yaml.SequenceStartEvent):
            made = self.items(place, depth)
        else:
            made = self.fields(place, depth)
        if event.anchor:
            self.anchors[event.anchor] = made
        return made

    def alias(self, event: Any, place: Place) -> Any:
        if event.anchor not in self.anchors:
            self.stop(
                place,
                f"'*{event.anchor}' refers to nothing written above",
                "a reference must stand after the thing it names, and not inside it",
            )
        made = self.anchors[event.anchor]
        self.counted(place, size_of(made))
        return made

    def items(self, place: Place, depth: int) -> Items:
        made = Items(place)
        while not isinstance(event := self.loader.get_event(), yaml.SequenceEndEvent):
            made.append(self.value(event, depth + 1))
        return made

    def fields(self, place: Place, depth: int) -> Fields:
        made = Fields(place)
        merged: list[tuple[Any, Place]] = []
        while not isinstance(event := self.loader.get_event(), yaml.MappingEndEvent):
            word = self.value(event, depth + 1)
            where = self.place(event)
            if not isinstance(word, Written):
                self.stop(where, "a list or mapping stands where a word is wanted", _BRACES)
            value = self.value(self.loader.get_event(), depth + 1)
            if word == "<<" and not word.quoted:
                merged.append((value, where))
            elif word in made:
                first = made.word(word).place
                self.problems.add(
                    where,
                    f"'{word}' is written twice",
                    f"it stands first in line {first.line}; keep one of the two",
                )
            else:
                made[word] = value
        for source, where in merged:
            self.merge(made, source, where)
        return made

    def merge(self, made: Fields, source: Any, where: Place) -> None:
        sources = source if isinstance(source, Items) else [source]
        for each in sources:
            if not isinstance(each, Fields):
                self.stop(where, "'<<' must name a mapping written above", "write the words out")
            for word, value in each.items():
                made.setdefault(word, value)


_BRACES = "put text that holds braces, brackets or a colon in quotes"


def size_of(value: Any) -> int:
    """How many values a value holds, itself included."""
    if isinstance(value, Fields):
        return 1 + sum(size_of(each) for each in value.values())
    if isinstance(value, Items):
        return 1 + sum(size_of(each) for each in value)
    return 1


def read_text(raw: bytes, file: str, problems: Problems) -> Any | None:
    """The whole of one YAML file as placed values, or None when it cannot be read at all."""
    text = _decode(raw, file, problems)
    if text is None:
        return None
    loader = _Loader(text)
    reader = _Reader(file, problems, loader)
    try:
        return reader.document()
    except _Unreadable:
        return None
    except yaml.YAMLError as error:
        _tell(error, text, file, problems)
        return None
    finally:
        loader.dispose()


def _decode(raw: bytes, file: str, problems: Problems) -> str | None:
    if len(raw) > MOST_BYTES:
        size = f"{len(raw) / 1_000_000:.1f} MB"
        problems.add(Place(file), f"this file is {size}: too large for a record", "2 MB at most")
        return None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start]
        column = error.start - before.rfind(b"\n")
        place = Place(file, before.count(b"\n") + 1, column)
        problems.add(place, "this is not UTF-8 text", "save the file as UTF-8 in your editor")
        return None
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    for pattern, what, remedy in _BAD_SIGNS:
        if found := pattern.search(text):
            line = text.count("\n", 0, found.end() - 1) + 1
            column = found.end() - 1 - text.rfind("\n", 0, found.end() - 1)
            problems.add(Place(file, line, column), what, remedy)
            return None
    return text


_BAD_SIGNS = (
    (_INDENT_TAB, "a tab at the start of a line", "use spaces to indent, two for each level"),
    (_CONTROL, "an invisible control character", "delete it and type the text again"),
)

_TRADE_WORDS = (
    ("mapping values are not allowed", "a colon where none is expected", _BRACES),
    ("found character '\\t'", "a tab where a space is wanted", "use spaces, never tabs"),
    ("cannot start any token", "a sign that cannot start plain text", "put the text in quotes"),
    ("found unexpected end of stream", "a quote is opened and never closed", "close the quote"),
    ("did not find expected ',' or '}'", "a brace '{' is not closed", "close it with '}'"),
    ("did not find expected ',' or ']'", "a bracket '[' is not closed", "close it with ']'"),
    ("did not find expected key", "this line does not fit the lines above", "align its start"),
    ("did not find expected '-'", "this line does not fit the list above", "align the dashes"),
    ("could not find expected ':'", "a word without its colon", "write 'word: value'"),
    ("did not find expected alphabetic", "'*' or '&' starts a reference", "put it in quotes"),
    ("undefined alias", "a reference to nothing", "write the value out"),
    ("block sequence entries", "a dash where none is expected", "start the list on a new line"),
    ("did not find expected node", "a value is missing here", "write the value, or quote it"),
    ("invalid leading UTF-8", "this is not UTF-8 text", "save the file as UTF-8"),
)


def _tell(error: yaml.YAMLError, text: str, file: str, problems: Problems) -> None:
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    said = f"{getattr(error, 'context', '') or ''} {getattr(error, 'problem', '') or error}"
    lines = text.count("\n") + 1
    place = Place(file, min(mark.line + 1, lines), mark.column + 1) if mark else Place(file, 1, 1)
    for sign, what, remedy in _TRADE_WORDS:
        if sign in said:
            problems.add(place, what, remedy)
            return
    problems.add(place, "this line cannot be read as a record", f"({said.strip()})")
