"""The kinds of field a record can hold, and the one way a record is read.

In: placed values from `text`. Out: frozen typed records, or problems in trade words. Pydantic does
the checking; its error locations are walked back to the places of the values.
"""

from __future__ import annotations

import calendar
import re
from collections.abc import Callable, Mapping
from datetime import date
from typing import Annotated, Any, TypeVar

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    PlainValidator,
    ValidationError,
    ValidationInfo,
    WithJsonSchema,
    model_validator,
)
from pydantic.json_schema import SkipJsonSchema
from pydantic_core import CoreSchema, core_schema

from provenance.problems import NOWHERE, Place, Problems, Slip, did_you_mean
from provenance.records import quantities as q
from provenance.records.text import Fields, Items, Written

RecordKind = TypeVar("RecordKind", bound="Record")
QuantityKind = TypeVar("QuantityKind", bound=q.Quantity)


def _spaced(name: str) -> str:
    return name.removesuffix("_").replace("_", " ")


class Record(BaseModel):
    """A frozen record; its words are the field names with spaces for underscores."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", alias_generator=_spaced, arbitrary_types_allowed=True
    )
    record_place: SkipJsonSchema[Place] = Field(NOWHERE, alias="\0place")

    @model_validator(mode="before")
    @classmethod
    def _placed(cls, value: Any) -> Any:
        if isinstance(value, dict) and not isinstance(value, Fields):
            return value  # made by the program, not read from a record
        if not isinstance(value, Fields):
            raise Slip("a list of 'word: value' is wanted here", f"words: {_words_of(cls)}")
        filled = {word: each for word, each in value.items() if not _is_empty(word, each)}
        return {**filled, "\0place": value.place}


class Named(Record):
    """A record that stands under its name in a list of lots."""

    name: SkipJsonSchema[Written] = Field(Written(""), alias="\0name")


def _is_empty(word: str, value: Any) -> bool:
    plain = isinstance(value, Written) and not value.quoted and value == ""
    return plain and "colour" not in word


def _words_of(model: type[BaseModel]) -> str:
    return ", ".join(_known_words(model)[:6])


def _known_words(model: type[BaseModel]) -> list[str]:
    aliases = [field.alias or name for name, field in model.model_fields.items()]
    return [alias for alias in aliases if not alias.startswith("\0")]


def written(value: Any) -> Written:
    """Any single value as text; a list or mapping is a slip."""
    if isinstance(value, Written):
        return value
    if isinstance(value, str):
        return Written(value)
    raise Slip("a single value is wanted here, not a list or mapping")


def read_as(kind: type[QuantityKind]) -> Callable[[Any, ValidationInfo], QuantityKind]:
    """A validator for one kind of quantity."""

    def read(value: Any, info: ValidationInfo) -> QuantityKind:
        if isinstance(value, kind):
            return value
        text = written(value)
        return kind(kind.read(text, info.context or q.Habits()), text.place, str(text))

    return read


def _shown(kind: type[q.Quantity]) -> WithJsonSchema:
    text = f"{kind.called.capitalize()}, for example {kind.example}."
    return WithJsonSchema({"type": ["string", "number"], "description": text})


def _text(value: Any) -> Written:
    text = written(value)
    if len(text) > 20_000:
        raise Slip("this text is too long", "20,000 letters at most")
    return text


def _name(value: Any) -> Written:
    text = written(value)
    if not _NAME.fullmatch(text):
        raise Slip(
            f"'{text}' can't be a name", "letters, digits, spaces, '-', '_' and '.' make a name"
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
    found = re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})", text.strip())
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


def _part_day(value: Any) -> Written:
    """A date that may be known only to the month or the year."""
    text = written(value)
    if not re.fullmatch(r"\d{4}(-\d{2})?", text):
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
        raise Slip("no colour is written here", "'#' starts a remark unless quoted: \"#6f7a38\"")
    found = re.fullmatch(r"#?([0-9A-Fa-f]{6}|[0-9A-Fa-f]{3})", text)
    if not found:
        raise Slip(f"'{text}' is not a colour", 'write it in quotes, such as "#6f7a38"')
    digits = found[1].lower()
    full = digits if len(digits) == 6 else "".join(digit * 2 for digit in digits)
    return Written("#" + full, text.place, quoted=True)


def listed(value: Any) -> Any:
    """A list, where a single value stands for a list of one."""
    return value if isinstance(value, (list, tuple)) else [value]


class OneOf:
    """Marks a field that holds one of a few words."""

    def __init__(self, *words: str) -> None:
        self.words = words

    def read(self, value: Any) -> Written:
        text = written(value)
        if text not in self.words:
            remedy = did_you_mean(text, self.words)
            raise Slip(f"'{text}' is not known here", remedy or f"one of: {', '.join(self.words)}")
        return text

    def __get_pydantic_core_schema__(self, _source: Any, _handler: Any) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, _schema: Any, _handler: Any) -> dict[str, Any]:
        return {"enum": list(self.words)}


_TEXT_SHAPE = WithJsonSchema({"type": ["string", "number"]})

Text = Annotated[Written, PlainValidator(_text), _TEXT_SHAPE]
Name = Annotated[Written, PlainValidator(_name), WithJsonSchema({"type": ["string", "number"]})]
PieceNumber = Annotated[
    Written,
    PlainValidator(_piece_number),
    WithJsonSchema({"type": "string", "pattern": r"^[0-9]+(-[0-9]+)*$"}),
]
Day = Annotated[
    date,
    PlainValidator(lambda value: day(written(value))),
    WithJsonSchema({"type": "string", "description": "year-month-day, such as 2026-09-14"}),
]
PartDay = Annotated[Written, PlainValidator(_part_day), _TEXT_SHAPE]
YesNo = Annotated[
    bool, PlainValidator(yes_or_no), WithJsonSchema({"enum": ["yes", "no", True, False]})
]
Colour = Annotated[Written, PlainValidator(_colour), WithJsonSchema({"type": "string"})]
Weight = Annotated[q.Grams, PlainValidator(read_as(q.Grams)), _shown(q.Grams)]
Length = Annotated[q.Centimetres, PlainValidator(read_as(q.Centimetres)), _shown(q.Centimetres)]
Time = Annotated[q.Hours, PlainValidator(read_as(q.Hours)), _shown(q.Hours)]
Share = Annotated[q.Share, PlainValidator(read_as(q.Share)), _shown(q.Share)]
Money = Annotated[q.Money, PlainValidator(read_as(q.Money)), _shown(q.Money)]
Rate = Annotated[q.Rate, PlainValidator(read_as(q.Rate)), _shown(q.Rate)]
Sett = Annotated[q.PerCentimetre, PlainValidator(read_as(q.PerCentimetre)), _shown(q.PerCentimetre)]
Count = Annotated[q.Count, PlainValidator(read_as(q.Count)), _shown(q.Count)]


def read_record(
    model: type[RecordKind],
    value: Any,
    habits: q.Habits,
    problems: Problems,
    name: Written | None = None,
) -> RecordKind | None:
    """One record from placed values; mistakes go to `problems` and give None."""
    if isinstance(value, Fields) and name is not None:
        value[Written("\0name")] = name
    try:
        return model.model_validate(value, context=habits)
    except ValidationError as error:
        for each in error.errors(include_url=False):
            place, parent = _find(value, each["loc"], name)
            what, remedy = _say(each, place, parent, model)
            problems.add(place, what, remedy)
        return None


def _find(value: Any, loc: tuple[Any, ...], name: Written | None) -> tuple[Place, Any]:
    """The place a location points at, and the mapping or list it stands in."""
    place: Place = getattr(value, "place", NOWHERE)
    if name is not None and isinstance(value, Written):
        place = name.place
    parent = value
    for step in loc:
        if isinstance(value, Fields) and step in value:
            parent, child = value, value[step]
            place = child.place if isinstance(child, Written) else value.word(step).place
            value = child
        elif isinstance(value, Items) and isinstance(step, int) and step < len(value):
            parent, value = value, value[step]
            place = getattr(value, "place", place)
    return place, parent


def _say(
    error: Mapping[str, Any], place: Place, parent: Any, model: type[BaseModel]
) -> tuple[str, str]:
    slip = error.get("ctx", {}).get("error")
    word = str(error["loc"][-1]) if error["loc"] else ""
    match error["type"]:
        case "extra_forbidden":
            known = _known_words(_model_at(model, error["loc"][:-1]))
            near = did_you_mean(word, known)
            return f"unknown word '{word}'", near or f"known here: {', '.join(known)}"
        case "missing":
            return f"no '{word}' is given", f"add a line '{word}: ...'"
        case _ if isinstance(slip, Slip):
            lead = f"{word}: " if word and not word.isdigit() and word != "[key]" else ""
            return lead + slip.what, slip.remedy
        case "dict_type" | "model_type":
            return f"'{word}' wants words with values", f"write '{word}: {{word: value}}'"
        case "list_type" | "tuple_type":
            return f"'{word}' wants a list", f"write '{word}: [first, second]' or one per '-' line"
    return f"{word}: {error['msg']}", ""


def _model_at(model: type[BaseModel], loc: tuple[Any, ...]) -> type[BaseModel]:
    """The model that checks the mapping at a location."""
    for step in loc:
        for name, field in model.model_fields.items():
            if step in (field.alias, name):
                model = _inner(field.annotation) or model
    return model


def _inner(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for each in getattr(annotation, "__args__", ()):
        if found := _inner(each):
            return found
    return None
