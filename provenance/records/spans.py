"""Where everything in a record's text begins and ends, for whoever changes a part of it.

In: bytes that `yaml_file` reads without a complaint. Out: `RecordText`: `Span`s, nested as the
values are, with their first and last sign; and the bytes with some signs changed.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import yaml

from provenance.problems import Place, Problems, Said, Slip
from provenance.records.faults import decode
from provenance.records.yaml_file import read_text

_Loader: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
Edit = tuple[int, int, str]  # what stands from here to there becomes this
_BOM = b"\xef\xbb\xbf"
_LINE_END = re.compile(r"\r\n|\r|\n")
_COMMA_IN_NUMBER = re.compile("[0-9],[0-9]")


@dataclass(slots=True)
class Span:
    """A value from `start` up to `end`, counted in signs; of a mapping, its words and values too.

    `kind` is text, list, fields or reference; `style` the sign that quotes a text, or opens a
    block; `flow` when it stands in braces or brackets; `shared` when it has a name that references
    lead to.
    """

    kind: str
    start: int
    end: int
    style: str = ""
    flow: bool = False
    shared: bool = False
    word: str = ""
    pairs: list[tuple[Span, Span]] = field(default_factory=list)
    items: list[Span] = field(default_factory=list)

    def of(self, word: str | int) -> tuple[Span, Span] | None:
        """A word and its value, or a turn of a list twice; None where it does not stand here."""
        if isinstance(word, int):
            return (self.items[word], self.items[word]) if word < len(self.items) else None
        return next((pair for pair in self.pairs if pair[0].word == word), None)

    @property
    def borrows(self) -> bool:
        """Whether it takes words from elsewhere: `<<: *other`."""
        return self.of("<<") is not None

    def texts(self) -> Iterator[Span]:
        """Every single text inside, words too."""
        if self.kind == "text":
            yield self
        for each in (*(part for pair in self.pairs for part in pair), *self.items):
            yield from each.texts()


def spans_of(text: str) -> Span:
    """The whole text as spans; an empty one is an empty mapping."""
    loader = _Loader(text)
    try:
        loader.get_event()
        if loader.check_event(yaml.StreamEndEvent):
            return Span("fields", 0, 0)
        loader.get_event()
        return _span(loader, loader.get_event(), text)
    finally:
        loader.dispose()


def _span(loader: Any, event: Any, text: str) -> Span:
    start, end = event.start_mark.index, event.end_mark.index
    if isinstance(event, yaml.AliasEvent):
        return Span("reference", start, end)
    shared = bool(event.anchor)
    if isinstance(event, yaml.ScalarEvent):
        return Span("text", start, end, event.style or "", shared=shared, word=event.value)
    kind = "list" if isinstance(event, yaml.SequenceStartEvent) else "fields"
    made = Span(kind, start, end, flow=bool(event.flow_style), shared=shared)
    closing: Any = yaml.SequenceEndEvent if kind == "list" else yaml.MappingEndEvent
    while not isinstance(event := loader.get_event(), closing):
        one = _span(loader, event, text)
        if kind == "list":
            made.items.append(one)
            continue
        value = _span(loader, loader.get_event(), text)
        if not (made.flow and _goes_on(made, one, value, text)):
            made.pairs.append((one, value))
    inside = [each.end for each in (*made.items, *(value for _, value in made.pairs))]
    made.end = event.end_mark.index if made.flow else max(inside, default=made.end)
    return made


def _goes_on(made: Span, word: Span, value: Span, text: str) -> bool:
    """`{cost: 58,00}` has one number with a comma, as `yaml_file` reads it: the value is longer."""
    is_bare = not word.style and value.kind == "text" and value.start == value.end
    around = text[max(word.start - 2, 0) : word.start + 1]
    if not (is_bare and made.pairs and _COMMA_IN_NUMBER.fullmatch(around)):
        return False
    if ":" in text[word.end : value.start + 1]:
        return False
    before = made.pairs[-1][1]
    before.end, before.word = word.end, f"{before.word},{word.word}"
    return True


class RecordText:
    """A record file three times: its bytes, its text as it is read, where all of it stands."""

    def __init__(self, raw: bytes, file: str) -> None:
        self.raw, self.file, problems = raw, file, Problems()
        self.value = read_text(raw, file, problems)
        self.problems = tuple(problems)
        if first := next((each for each in problems if not each.is_remark), None):
            what = Said("problem.placed", place=str(first.place), what=first.what)
            raise Slip(what, first.remedy, first.place)
        self.text = decode(raw, file, Problems()) or ""  # as it is read: one kind of line end
        self.written = raw.removeprefix(_BOM).decode()
        pairs = (each.start() for each in re.finditer("\r\n", self.written))
        self._shifts = [start - turn + 1 for turn, start in enumerate(pairs)]

    @cached_property
    def spans(self) -> Span:
        """Where everything stands, in `text`."""
        return spans_of(self.text)

    @cached_property
    def quote(self) -> str:
        """The sign this maker quotes with."""
        styles = [each.style for each in self.spans.texts()]
        return "'" if styles.count("'") > styles.count('"') else '"'

    def edited(self, edits: Iterable[Edit]) -> bytes:
        """The bytes with some edits made; new lines end as those around them."""
        written = self.written
        for start, end, new in sorted(edits, reverse=True):
            first, last = (at + bisect_right(self._shifts, at) for at in (start, end))
            new = new.replace("\n", self._line_end(first))
            written = written[:first] + new + written[last:]
        return self.raw[: len(self.raw) - len(self.raw.removeprefix(_BOM))] + written.encode()

    def _line_end(self, at: int) -> str:
        found = _LINE_END.search(self.written, at)
        before = [*_LINE_END.finditer(self.written, 0, at)][-1:] if not found else []
        return found[0] if found else before[0][0] if before else "\n"

    def start_of_line(self, at: int) -> int:
        return self.text.rfind("\n", 0, at) + 1

    def end_of_line(self, at: int) -> int:
        end = self.text.find("\n", at)
        return len(self.text) if end < 0 else end

    def is_first(self, at: int) -> bool:
        """Whether nothing stands before it on its line."""
        return not self.text[self.start_of_line(at) : at].strip()

    def place(self, at: int) -> Place:
        line = self.text.count("\n", 0, at) + 1
        return Place(self.file, line, at - self.start_of_line(at) + 1)
