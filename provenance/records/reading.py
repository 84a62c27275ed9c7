"""How a record is read: from placed values to a frozen typed record, or problems in trade words.

In: values from `yaml_file`, a record kind. Out: the record, or None with every mistake noted.
Pydantic does the checking; its error locations are walked back to the places of the values.
"""

import re
from collections.abc import Mapping
from functools import cache
from typing import Any, ClassVar, TypeVar

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator
from pydantic.json_schema import SkipJsonSchema

from provenance.problems import NOWHERE, SILENCE, Place, Problems, Said, Slip, did_you_mean, row
from provenance.records.numbers import Habits
from provenance.records.text import Fields, Items, Written

RecordKind = TypeVar("RecordKind", bound="Record")
MOST_TOLD = 100  # of one record: finding the nearest word for each takes its time
_LONGEST = 80
_SHOWN = 40


def _spaced(name: str) -> str:
    return name.removesuffix("_").replace("_", " ")


class Record(BaseModel):
    """A frozen record; its words are the field names with spaces for underscores.

    `looks_like` shows one, where its words alone would not help.
    """

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        alias_generator=_spaced,
        arbitrary_types_allowed=True,
        defer_build=True,
    )
    looks_like: ClassVar[Said] = SILENCE
    record_place: SkipJsonSchema[Place] = Field(NOWHERE, alias="\0place")

    @model_validator(mode="before")
    @classmethod
    def _placed(cls, value: Any) -> Any:
        if isinstance(value, dict) and not isinstance(value, Fields):
            return value  # made by the program, not read from a record
        known = known_words(cls)
        if not isinstance(value, Fields):
            example = cls.looks_like or Said("word.known", words=row(known[:6]))
            raise Slip(Said("word.with_values"), example)
        filled = {
            word: each
            for word, each in value.items()
            if not (word in known and _is_empty(word, each))
        }
        return {**filled, "\0place": value.place}


class Named(Record):
    """A record that stands under its name in a list of lots."""

    name: SkipJsonSchema[Written] = Field(Written(""), alias="\0name")


def _is_empty(word: str, value: Any) -> bool:
    """A word left open is as good as left out; an unquoted colour only looks empty."""
    return isinstance(value, Written) and value.is_empty and word not in ("colour", "near")


@cache
def known_words(model: type[BaseModel]) -> tuple[str, ...]:
    """The words a record of this kind may hold."""
    aliases = (field.alias or name for name, field in model.model_fields.items())
    return tuple(alias for alias in aliases if not alias.startswith("\0"))


def read_record(
    model: type[RecordKind],
    value: Any,
    habits: Habits,
    problems: Problems,
    name: Written | None = None,
) -> RecordKind | None:
    """One record from placed values; mistakes go to `problems` and give None."""
    if isinstance(value, Fields) and name is not None:
        value[Written("\0name")] = name
    try:
        return model.model_validate(value, context=habits)
    except ValidationError as error:
        found = error.errors(include_url=False)
        for each in found[:MOST_TOLD]:
            slip = _slip_of(each, model)
            own = None if slip.place == NOWHERE else slip.place
            place = own or _place_of(value, each)
            problems.add(place, _shortened(slip.what), _shortened(slip.remedy))
        if len(found) > MOST_TOLD:
            problems.add(place, Said("problem.many"), Said("problem.first_ones"))
        return None


def _place_of(value: Any, error: Mapping[str, Any]) -> Place:
    """The place an error points at: that of the value, else (or where none belongs) of its word."""
    place: Place = getattr(value, "place", NOWHERE)
    is_extra = error["type"] == "extra_forbidden"
    for step in error["loc"]:
        if isinstance(value, Fields) and step in value:
            child = value[step]
            has_own = isinstance(child, Written) and not is_extra
            place = child.place if has_own else value.word(step).place
            value = child
        elif isinstance(value, Items) and isinstance(step, int) and step < len(value):
            value = value[step]
            place = getattr(value, "place", place)
    return place


def _slip_of(error: Mapping[str, Any], model: type[BaseModel]) -> Slip:
    """What pydantic found, in trade words."""
    slip = error.get("ctx", {}).get("error")
    word = str(error["loc"][-1]) if error["loc"] else ""
    match error["type"]:
        case "extra_forbidden":
            return _unknown(word, _model_at(model, error["loc"][:-1]))
        case "missing":
            return Slip(Said("word.missing", word=word), Said("word.add", word=word))
        case _ if isinstance(slip, Slip):
            has_word = word and not word.isdigit() and word != "[key]"
            what = Said("word.lead", word=word, what=slip.what) if has_word else slip.what
            return Slip(what, slip.remedy, slip.place)
        case "dict_type" | "model_type":
            return Slip(Said("word.wants_words", word=word), Said("word.write_words", word=word))
        case "list_type" | "tuple_type":
            example = getattr(_model_at(model, error["loc"]), "looks_like", SILENCE)
            lines = Said("word.write_lines", example=example)
            remedy = lines if example else Said("word.write_list", word=word)
            return Slip(Said("word.wants_list", word=word), remedy)
    return Slip(Said("word.unread", word=word), Said("word.guide"))


def _unknown(word: str, model: type[BaseModel]) -> Slip:
    """A word that does not belong where it stands."""
    if inside := _word_inside(model, word):
        return Slip(Said("word.elsewhere", word=word), Said("word.belongs", word=inside))
    known = known_words(model)
    remedy = did_you_mean(word, known) or Said("problem.known", names=row(known))
    return Slip(Said("word.unknown", word=word), remedy)


def _shortened(words: Any) -> Any:
    """A sentence with only the beginning of a long text, on one line."""
    if isinstance(words, Said):
        return Said(words.key, **{name: _shortened(value) for name, value in words.pairs})
    if not isinstance(words, str):
        return words
    text = re.sub(r"\s+", " ", words)
    return text if len(text) < _LONGEST else f"{text[:_SHOWN]} ..."


def _model_at(model: type[BaseModel], loc: tuple[Any, ...]) -> type[BaseModel]:
    """The model that checks the mapping at a location."""
    for step in loc:
        for name, field in model.model_fields.items():
            if step in (field.alias, name):
                model = _inner(field.annotation) or model
    return model


def _word_inside(model: type[BaseModel], word: str) -> str | None:
    """The word of a record under which another word belongs, such as `dyes` under `steps`."""
    for name, field in model.model_fields.items():
        inner = _inner(field.annotation)
        if inner is not None and word in known_words(inner):
            return field.alias or name
    return None


def _inner(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next(filter(None, map(_inner, getattr(annotation, "__args__", ()))), None)
