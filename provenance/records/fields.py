"""The kinds of field a record can hold: names, dates, colours, yes or no, quantities.

In: placed text. Out: typed values, or a `Slip` that says in trade words what is wanted instead.
"""

from __future__ import annotations

import calendar
import re
from collections.abc import Callable
from datetime import date
from typing import Annotated, Any, TypeVar

from pydantic import PlainValidator, ValidationInfo, WithJsonSchema
from pydantic_core import CoreSchema, core_schema

from provenance.problems import Place, Slip, did_you_mean
from provenance.records import quantities as q
from provenance.records.text import Written

QuantityKind = TypeVar("QuantityKind", bound=q.Quantity)


def written(value: Any) -> Written:
    """Any single value as text; a list or mapping is a slip."""
    if isinstance(value, Written):
        return value
    if isinstance(value, str):
        return Written(value)
    raise Slip("a single value is wanted here, not a list or mapping")


class SlipAt(Slip):
    """A slip that knows its place, inside a value of several parts."""

    def __init__(self, what: str, remedy: str, place: Place | None) -> None:
        super().__init__(what, remedy)
        self.place = place


def read_as(kind: type[QuantityKind]) -> Callable[[Any, ValidationInfo], QuantityKind]:
    """A validator for one kind of quantity."""

    def read(value: Any, info: ValidationInfo) -> QuantityKind:
        if isinstance(value, kind):
            return value
        text = written(value)
        try:
            number = kind.read(text, info.context or q.Habits())
        except Slip as slip:
            raise SlipAt(slip.what, slip.remedy, text.place) from None
        return kind(number, text.place, str(text))

    return read


def _shown(kind: type[q.Quantity]) -> WithJsonSchema:
    text = f"{kind.called.capitalize()}, for example {kind.example}."
    return WithJsonSchema({"type": ["string", "number"], "description": text})


def _text(value: Any) -> Written:
    text = written(value)
    if len(text) > 20_000:
        raise Slip("this text is too long", "20,000 letters at most")
    return text


def read_name(value: Any) -> Written:
    """The name of a lot, an outlet, an activity."""
    text = written(value)
    if not _NAME.fullmatch(text):
        kept = re.sub(r"[^\w\-. ]", "", text).strip("_-. ")[:80]
        hint = f"; such as '{kept}'" if kept else ""
        raise Slip(
            f"'{text}' can't be a name",
            f"letters, digits, spaces, '-', '_' and '.' make a name{hint}",
        )
    return text


_NAME = re.compile(r"[^\W_][\w\-. ]{0,79}")
_NUMBER = re.compile(r"[0-9]+(-[0-9]+)*")


def _piece_number(value: Any) -> Written:
    text = written(value)
    if not _NUMBER.fullmatch(text) or len(text) > 20:
        raise Slip(
            f"'{text}' can't be a piece's number",
            "digits and hyphens only, such as 2026-014: it is the permanent address",
        )
    return text


def day(text: str) -> date:
    """A date written year-month-day."""
    found = re.fullmatch(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})", text.strip())
    if not found:
        raise Slip(f"'{text}' is not a date", "write year-month-day, such as 2026-09-14")
    year, month, number = (int(part) for part in found.groups())
    if not 1 <= month <= 12 or year < 1000:
        raise Slip(f"there is no date {text}", "months run from 01 to 12: year-month-day")
    last = calendar.monthrange(year, month)[1]
    if not 1 <= number <= last:
        raise Slip(
            f"there is no date {text}", f"{calendar.month_name[month]} {year} has {last} days"
        )
    return date(year, month, number)


def read_day(value: Any) -> date:
    """A date that knows its place when it can't be read."""
    text = written(value)
    try:
        return day(text)
    except Slip as slip:
        raise SlipAt(slip.what, slip.remedy, text.place) from None


def _part_day(value: Any) -> Written:
    """A date that may be known only to the month or the year."""
    text = written(value)
    if not re.fullmatch(r"[0-9]{4}(-(0[1-9]|1[0-2]))?", text):
        day(text)
    return text


def yes_or_no(value: Any) -> bool:
    """`yes` or `no` in words."""
    text = written(value)
    if text.lower() in ("yes", "true", "on"):
        return True
    if text.lower() in ("no", "false", "off"):
        return False
    raise Slip(f"'{text}' is neither yes nor no", "write yes or no")


def _colour(value: Any) -> Written:
    text = written(value)
    if text == "" and not text.quoted:
        raise Slip("no colour is written here", "'#' starts a note unless quoted: \"#6f7a38\"")
    found = re.fullmatch(r"#?([0-9A-Fa-f]{6}|[0-9A-Fa-f]{3})", text)
    if not found:
        raise Slip(f"'{text}' is not a colour", 'write it in quotes, such as "#6f7a38"')
    digits = found[1].lower()
    full = digits if len(digits) == 6 else "".join(digit * 2 for digit in digits)
    return Written("#" + full, text.place, quoted=True)


def listed(value: Any) -> Any:
    """A list, where a single value stands for a list of one."""
    return value if isinstance(value, (list, tuple)) else [value]


class OneOrMore:
    """Marks a list that may be written as its only value."""

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        return core_schema.no_info_before_validator_function(listed, handler(source))

    def __get_pydantic_json_schema__(self, schema: Any, handler: Any) -> dict[str, Any]:
        many = handler(schema)
        return {"anyOf": [many["items"], many]}


class OneOf:
    """Marks a field that holds one of a few words."""

    def __init__(self, *words: str) -> None:
        self.words = words
        self._known = {word.lower(): word for word in words}

    def read(self, value: Any) -> Written:
        text = written(value)
        known = self._known.get(text.lower())
        if known is None:
            remedy = did_you_mean(text, self.words)
            raise Slip(f"'{text}' is not known here", remedy or f"one of: {', '.join(self.words)}")
        return text if text == known else Written(known, text.place)

    def __get_pydantic_core_schema__(self, _source: Any, _handler: Any) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, _schema: Any, _handler: Any) -> dict[str, Any]:
        return {"enum": list(self.words)}


_TEXT_SHAPE = WithJsonSchema({"type": ["string", "number"]})

Text = Annotated[Written, PlainValidator(_text), _TEXT_SHAPE]
Name = Annotated[Written, PlainValidator(read_name), WithJsonSchema({"type": ["string", "number"]})]
PieceNumber = Annotated[
    Written,
    PlainValidator(_piece_number),
    WithJsonSchema({"type": "string", "pattern": r"^[0-9]+(-[0-9]+)*$"}),
]
Day = Annotated[
    date,
    PlainValidator(read_day),
    WithJsonSchema({"type": "string", "description": "year-month-day, such as 2026-09-14"}),
]
PartDay = Annotated[Written, PlainValidator(_part_day), _TEXT_SHAPE]
YesNo = Annotated[
    bool, PlainValidator(yes_or_no), WithJsonSchema({"enum": ["yes", "no", True, False]})
]
Colour = Annotated[Written, PlainValidator(_colour), WithJsonSchema({"type": "string"})]
Weight = Annotated[q.Grams, PlainValidator(read_as(q.Grams)), _shown(q.Grams)]
Length = Annotated[q.Centimetres, PlainValidator(read_as(q.Centimetres)), _shown(q.Centimetres)]
PartShare = Annotated[q.PartShare, PlainValidator(read_as(q.PartShare)), _shown(q.PartShare)]
YieldShare = Annotated[q.YieldShare, PlainValidator(read_as(q.YieldShare)), _shown(q.YieldShare)]
Duration = Annotated[q.Duration, PlainValidator(read_as(q.Duration)), _shown(q.Duration)]
Time = Annotated[q.Hours, PlainValidator(read_as(q.Hours)), _shown(q.Hours)]
Share = Annotated[q.Share, PlainValidator(read_as(q.Share)), _shown(q.Share)]
Money = Annotated[q.Money, PlainValidator(read_as(q.Money)), _shown(q.Money)]
Rate = Annotated[q.Rate, PlainValidator(read_as(q.Rate)), _shown(q.Rate)]
Sett = Annotated[q.PerCentimetre, PlainValidator(read_as(q.PerCentimetre)), _shown(q.PerCentimetre)]
Count = Annotated[q.Count, PlainValidator(read_as(q.Count)), _shown(q.Count)]


def _language(value: Any) -> Written:
    text = written(value)
    if not re.fullmatch(r"[a-z]{2,3}(-[A-Z]{2})?", text):
        raise Slip(f"'{text}' is not a language", "write it as en-GB or en-US")
    return text


LanguageCode = Annotated[Written, PlainValidator(_language), WithJsonSchema({"type": "string"})]
