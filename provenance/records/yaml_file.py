"""From the bytes of a record file to values that know their place.

In: bytes of a YAML file and its name. Out: `Fields` (mappings), `Items` (lists) and `Written`
(text), each with its `Place`; or a problem. Only YAML's syntax is used, never its guesses: `no`,
`12:30` and `010` stay the text that was typed. Events are read one by one with a depth and
size limit, so no nesting, alias or merge key can grow beyond its bounds.
"""

import re
from typing import Any, NoReturn

import yaml

from provenance.problems import Place, Problems, Said
from provenance.records.faults import decode, tell_fault, unseen_in, unseen_told
from provenance.records.text import Fields, Items, Written

_Loader: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)

MOST_DEPTH = 24
MOST_VALUES = 1_000_000
MOST_UNFOLDED = 20_000
MOST_TWICE = 50


class _Unreadable(Exception):
    """Reading of this file ends here; the problem has been noted."""


def read_text(raw: bytes, file: str, problems: Problems) -> Any | None:
    """The whole of one YAML file as placed values, or None when it cannot be read at all."""
    text = decode(raw, file, problems)
    if text is None:
        return None
    reader = _Reader(file, text, problems)
    try:
        return reader.document()
    except _Unreadable:
        return None
    except yaml.YAMLError as error:
        tell_fault(error, text, file, problems)
        return None
    finally:
        reader.loader.dispose()


class _Reader:
    """Builds values from parser events, within bounds."""

    def __init__(self, file: str, text: str, problems: Problems) -> None:
        self.file, self.text, self.problems = file, text, problems
        self.loader = _Loader(text)
        self.lines = text.count("\n") + 1
        self.has_notes = _NOTE.search(text) is not None
        self.anchors: dict[str, Any] = {}
        self.count = self.unfolded = self.twice = 0

    def stop(self, place: Place, what: str, remedy: str, **values: str) -> NoReturn:
        self.problems.add(place, Said(f"line.{what}", **values), Said(f"line.{remedy}"))
        raise _Unreadable

    def place(self, event: Any) -> Place:
        mark = event.start_mark
        if mark.line < self.lines:
            return Place(self.file, mark.line + 1, mark.column + 1)
        return Place(self.file, self.lines, 1)

    def document(self) -> Any:
        self.loader.get_event()
        if self.loader.check_event(yaml.StreamEndEvent):
            return Fields(Place(self.file, 1, 1))
        self.loader.get_event()
        value = self.value(self.loader.get_event(), 0)
        self.loader.get_event()
        if not self.loader.check_event(yaml.StreamEndEvent):
            place = self.place(self.loader.get_event())
            self.stop(place, "second_dashes", "one_record")
        return value

    def value(self, event: Any, depth: int) -> Any:
        place = self.place(event)
        self.count += 1
        if self.count > MOST_VALUES:
            self.stop(place, "too_many", "plainly")
        if depth > MOST_DEPTH:
            self.stop(place, "deep", "few_levels")
        if getattr(event, "tag", None):
            self.stop(place, "tag", "quote")
        if isinstance(event, yaml.ScalarEvent):
            made: Any = self.scalar(event, place)
        elif isinstance(event, yaml.AliasEvent):
            return self.alias(event, place)
        elif isinstance(event, yaml.SequenceStartEvent):
            made = self.items(place, depth)
        else:
            made = self.fields(place, depth, is_flow=bool(event.flow_style))
        if event.anchor:
            self.anchors[event.anchor] = made
        return made

    def scalar(self, event: Any, place: Place) -> Written:
        text, style = event.value, event.style
        if style == '"' and (unseen := unseen_in(text, self.file)) is not None:
            self.problems.add(place, unseen_told(text[unseen]), Said("line.take_escape"))
            raise _Unreadable
        if not style:
            text = "" if text == "~" else text
            if self.has_notes:
                self.tell_note(event, place)
        return Written(text, place, quoted=bool(style), block=style in ("|", ">"))

    def alias(self, event: Any, place: Place) -> Any:
        if event.anchor not in self.anchors:
            self.stop(place, "nothing_above", "reference_after", name=event.anchor)
        made = self.anchors[event.anchor]
        self.unfolded += size_of(made)
        if self.unfolded > MOST_UNFOLDED:
            self.stop(place, "too_many", "plainly")
        return made

    def items(self, place: Place, depth: int) -> Items:
        made = Items(place)
        while not isinstance(event := self.loader.get_event(), yaml.SequenceEndEvent):
            made.append(self.value(event, depth + 1))
        return made

    def fields(self, place: Place, depth: int, *, is_flow: bool) -> Fields:
        made = Fields(place)
        merged: list[tuple[Any, Place]] = []
        last = before = Written("")
        while not isinstance(event := self.loader.get_event(), yaml.MappingEndEvent):
            word = self.value(event, depth + 1)
            if not isinstance(word, Written):
                self.stop(self.place(event), "word_wanted", "quote_signs")
            if not word:
                self.stop(word.place, "word_missing", "word_value")
            value_event = self.loader.get_event()
            value = self.value(value_event, depth + 1)
            if is_flow and self.has_no_colon(event, value_event, value):
                if self.goes_on(before, event):
                    made[last] = value = Written(f"{before},{word}", before.place)
                else:
                    self.tell_comma(word)
            elif word == "<<" and not word.quoted:
                merged.append((value, word.place))
            elif word in made:
                self.tell_twice(word, made.word(word).place)
            else:
                made[word] = value
                last = word
            before = value
        for source, where in merged:
            self.merge(made, source, where)
        return made

    def tell_note(self, event: Any, place: Place) -> None:
        """`title: Study #3` loses its number to a note; notes have a space after '#'."""
        end = event.end_mark.index
        if event.value and (found := _NOTE.match(self.text, end, end + 40)):
            what = Said("line.as_note", note=found[1], text=event.value)
            remedy = Said("line.note_quoted", note=found[1], text=event.value)
            self.problems.add(place, what, remedy, is_remark=True)

    def has_no_colon(self, word: Any, value_event: Any, value: Any) -> bool:
        """`{cost: 58,00}` and `{post: 1 Wren Lane, Eskrigg}` have a second word without colon."""
        if not isinstance(value, Written) or not value.is_empty:
            return False
        return ":" not in self.text[word.end_mark.index : value_event.start_mark.index + 1]

    def goes_on(self, before: Any, event: Any) -> bool:
        """Whether `{cost: 58,00}` has one number with a comma, not a word `00` of its own."""
        start = event.start_mark.index
        around = self.text[start - 2 : start + 1]
        return isinstance(before, Written) and _COMMA_IN_NUMBER.fullmatch(around) is not None

    def tell_comma(self, word: Written) -> None:
        remedy = Said("line.comma")
        if ":" in word:
            remedy = Said("line.space_after", text=word.replace(":", ": ", 1))
        self.problems.add(word.place, Said("line.without_value", word=word), remedy)

    def tell_twice(self, word: Written, first: Place) -> None:
        remedy = Said("line.keep_one", line=first.line)
        self.problems.add(word.place, Said("line.twice", word=word), remedy)
        self.twice += 1
        if self.twice > MOST_TWICE:
            self.stop(word.place, "twice_all_over", "anew")

    def merge(self, made: Fields, source: Any, where: Place) -> None:
        for each in source if isinstance(source, Items) else [source]:
            if not isinstance(each, Fields):
                self.stop(where, "merge", "words_out")
            for word, value in each.items():
                made.setdefault(word, value)


_NOTE = re.compile(r"(?<! ) +(#\d\S*)")  # begun once a run of spaces, however long
_COMMA_IN_NUMBER = re.compile("[0-9],[0-9]")


def size_of(value: Any) -> int:
    """How many values a value holds, itself included."""
    if isinstance(value, Written):
        return 1
    return 1 + sum(map(size_of, value.values() if isinstance(value, Fields) else value))
