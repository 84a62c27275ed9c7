"""How a record is read: from placed values to a frozen typed record, or problems in trade words.

In: values from `yaml_file`, a record kind. Out: the record, or None with every mistake noted.
Pydantic does the checking; its error locations are walked back to the places of the values.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from typing import Any, ClassVar, TypeVar

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator
from pydantic.json_schema import SkipJsonSchema

from provenance.problems import NOWHERE, Place, Problems, Slip, did_you_mean
from provenance.records import quantities as q
from provenance.records.text import Fields, Items, Written

RecordKind = TypeVar("RecordKind", bound="Record")


def _spaced(name: str) -> str:
    return name.removesuffix("_").replace("_", " ")


class Record(BaseModel):
    """A frozen record; its words are the field names with spaces for underscores."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", alias_generator=_spaced, arbitrary_types_allowed=True
    )
    looks_like: ClassVar[str] = ""
    record_place: SkipJsonSchema[Place] = Field(NOWHERE, alias="\0place")

    @model_validator(mode="before")
    @classmethod
    def _placed(cls, value: Any) -> Any:
        if isinstance(value, dict) and not isinstance(value, Fields):
            return value  # made by the program, not read from a record
        if not isinstance(value, Fields):
            example = cls.looks_like or f"words known here: {', '.join(known_words(cls)[:6])}"
            raise Slip("words with values are wanted here", example)
        known = known_words(cls)
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
            if each["type"] == "extra_forbidden" and isinstance(parent, Fields):
                place = parent.word(str(each["loc"][-1])).place
            own = getattr(each.get("ctx", {}).get("error"), "place", None)
            what, remedy = _say(each, parent, model)
            problems.add(own or place, what, remedy)
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


def _say(error: Mapping[str, Any], parent: Any, model: type[BaseModel]) -> tuple[str, str]:
    slip = error.get("ctx", {}).get("error")
    word = str(error["loc"][-1]) if error["loc"] else ""
    match error["type"]:
        case "extra_forbidden":
            at = _model_at(model, error["loc"][:-1])
            known = known_words(at)
            if inside := _word_inside(at, word):
                return f"'{word}' does not stand here", f"it belongs under '{inside}'"
            near = did_you_mean(word, known)
            return f"unknown word '{word}'", near or f"known here: {', '.join(known)}"
        case "missing":
            return f"no '{word}' is given", f"add a line '{word}: ...'"
        case _ if isinstance(slip, Slip):
            lead = f"{word}: " if word and not word.isdigit() and word != "[key]" else ""
            return _shortened(lead + slip.what), _shortened(slip.remedy)
        case "dict_type" | "model_type":
            return f"'{word}' wants words with values", f"write '{word}: {{word: value}}'"
        case "list_type" | "tuple_type":
            example = getattr(_model_at(model, error["loc"]), "looks_like", "")
            if example:
                return f"'{word}' wants a list", f"each on its own line after '- ', {example}"
            return f"'{word}' wants a list", f"write '{word}: [first, second]' or one per '-' line"
    return f"'{word}' can't be read", "look at its neighbours in the guide"


_LONG = re.compile(r"'(.{40}).{40,}'")


def _shortened(text: str) -> str:
    """A message on one line, quoting only the beginning of a long text."""
    return _LONG.sub(r"'\1 ...'", " ".join(text.split()))


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
    for each in getattr(annotation, "__args__", ()):
        if found := _inner(each):
            return found
    return None
