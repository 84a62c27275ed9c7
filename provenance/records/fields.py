"""The kinds of field a record can hold: names, dates, colours, yes or no, one of a few words.

In: placed text. Out: typed values, or a `Slip` that says in trade words what is wanted instead.
Quantities are kinds of their own (`quantities`).
"""

import calendar
import re
from collections.abc import Callable, Mapping
from datetime import date
from inspect import signature
from typing import Annotated, Any

from pydantic_core import CoreSchema, core_schema

from provenance.problems import Said, Slip, did_you_mean
from provenance.records.numbers import habits_of
from provenance.records.text import Written, written

YES = ("yes", "true", "on")


class Reads:
    """Marks a field that a function of ours reads; `shape` is what editors are told of it.

    The function gets the text (or, unless `as_text`, a list or mapping as well), and the studio's
    `Habits` if it takes two things.
    """

    def __init__(self, read: Callable[..., Any], *, as_text: bool = True, **shape: Any) -> None:
        self.read = read
        self.taken: Callable[[Any], Any] = written if as_text else lambda value: value
        self.shape = shape or {"type": "string"}

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        read, taken = self.read, self.taken
        if len(signature(read).parameters) == 1:
            return core_schema.no_info_plain_validator_function(lambda value: read(taken(value)))
        return core_schema.with_info_plain_validator_function(
            lambda value, info: read(taken(value), habits_of(info))
        )

    def __get_pydantic_json_schema__(self, _schema: Any, _handler: Any) -> dict[str, Any]:
        return dict(self.shape)


class OneOf(Reads):
    """Marks a field that holds one of a few words."""

    def __init__(self, *words: str) -> None:
        super().__init__(self.one, enum=list(words))
        self.words: Mapping[str, str] = {word.lower(): word for word in words}

    def one(self, text: Written) -> Written:
        """The word as it is known, whatever its capitals."""
        known = self.words.get(text.lower())
        if known is None:
            raise Slip(Said("value.one_of", text=text), did_you_mean(text, self.words.values()))
        return text if text == known else Written(known, text.place)


class OneOrMore:
    """Marks a list that may be written as its only value."""

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        return core_schema.no_info_before_validator_function(listed, handler(source))

    def __get_pydantic_json_schema__(self, schema: Any, handler: Any) -> dict[str, Any]:
        many = handler(schema)
        return {"anyOf": [many["items"], many]}


def listed(value: Any) -> Any:
    """A list, where a single value stands for a list of one."""
    return value if isinstance(value, (list, tuple)) else [value]


def _text(text: Written) -> Written:
    if len(text) > 20_000:
        raise Slip(Said("value.too_long"), Said("value.at_most"))
    return text


def read_name(text: Written) -> Written:
    """The name of a lot, an outlet, an activity."""
    if not re.fullmatch(r"[^\W_][\w\-. ]{0,79}", text):
        kept = re.sub(r"[^\w\-. ]", "", text).strip("_-. ")[:80]
        remedy = Said("value.name_like", name=kept) if kept else Said("value.name_of")
        raise Slip(Said("value.name", text=text), remedy)
    return text


def _piece_number(text: Written) -> Written:
    if not re.fullmatch(r"[0-9]+(-[0-9]+)*", text) or len(text) > 20:
        raise Slip(Said("value.number", text=text), Said("value.number_of"))
    return text


def day(text: str) -> date:
    """A date written year-month-day."""
    found = re.fullmatch(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})", text.strip())
    if re.fullmatch(r"[0-9]{4}(-[0-9]{1,2})?|[^\W\d_]+\.? [0-9]{4}", text.strip()):
        raise Slip(Said("value.no_such_day", text=text), Said("value.about_a_day"))
    if not found:
        raise Slip(Said("value.day", text=text), Said("value.write_day"))
    year, month, number = (int(part) for part in found.groups())
    if not 1 <= month <= 12 or year < 1000:
        raise Slip(Said("value.no_day", text=text), Said("value.months"))
    last = calendar.monthrange(year, month)[1]
    if not 1 <= number <= last:
        named = Said("form.part_day", text=f"{year}-{month:02}")
        raise Slip(Said("value.no_day", text=text), Said("value.last_day", month=named, days=last))
    return date(year, month, number)


def _part_day(text: Written) -> Written:
    """A date that may be known only to the month or the year."""
    if not re.fullmatch(r"[0-9]{4}(-(0[1-9]|1[0-2]))?", text):
        day(text)
    return text


def _yes_or_no(text: Written) -> bool:
    if text.lower() not in (*YES, "no", "false", "off"):
        raise Slip(Said("value.yes_no", text=text), Said("value.write_yes_no"))
    return text.lower() in YES


def _colour(text: Written) -> Written:
    if text.is_empty:
        raise Slip(Said("value.no_colour"), Said("value.colour_quoted"))
    found = re.fullmatch(r"#?([0-9A-Fa-f]{6}|[0-9A-Fa-f]{3})", text)
    if not found:
        raise Slip(Said("value.colour", text=text), Said("value.colour_such"))
    digits = found[1].lower()
    full = digits if len(digits) == 6 else "".join(digit * 2 for digit in digits)
    return Written("#" + full, text.place, quoted=True)


def _language(text: Written) -> Written:
    if not re.fullmatch(r"[a-z]{2,3}(-[A-Z]{2})?", text):
        raise Slip(Said("value.language", text=text), Said("value.write_language"))
    return text


Text = Annotated[Written, Reads(_text, type=["string", "number"])]
Known = Annotated[tuple[Text, ...], OneOrMore()]  # remarks the maker has read and keeps
Name = Annotated[Written, Reads(read_name, type=["string", "number"])]
PieceNumber = Annotated[Written, Reads(_piece_number, type="string", pattern=r"^[0-9]+(-[0-9]+)*$")]
Day = Annotated[date, Reads(day, type="string", description="day")]
PartDay = Annotated[Written, Reads(_part_day, type=["string", "number"])]
YesNo = Annotated[bool, Reads(_yes_or_no, enum=["yes", "no", True, False])]
Colour = Annotated[Written, Reads(_colour)]
Language = Annotated[Written, Reads(_language)]
Markets = Annotated[tuple[Annotated[Written, OneOf("UK", "EU", "US")], ...], OneOrMore()]
