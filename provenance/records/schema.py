"""What editors complete records from: a JSON Schema for each kind of record.

In: the record kinds, and what each word means in a language. Out: schemas (draft 2020-12) by file
name, and the line that ties a record to its schema. They only help while typing: what a record may
say is settled when it is read, so the schemas are as wide as the reading.
"""

from collections.abc import Mapping
from typing import Any

from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from provenance.records.baths import Bath
from provenance.records.book import LOT_FILES
from provenance.records.commissions import Commission
from provenance.records.pieces import Piece
from provenance.records.publishing import Publishing
from provenance.records.reading import Record
from provenance.records.shows import Show
from provenance.records.studio import StudioFile

Meanings = Mapping[str, str]  # "in_piece.title": what the word means there
DRAFT = "https://json-schema.org/draft/2020-12/schema"
FOLDER = ".schemas"
ONE_A_FILE: Mapping[str, type[Record]] = {
    "piece": Piece,
    "bath": Bath,
    "commission": Commission,
    "show": Show,
    "studio": StudioFile,
    "publish": Publishing,
}


class _Plain(GenerateJsonSchema):
    """Schemas without defaults: what is left out is the studio's own business."""

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])


def schemas(meanings: Meanings) -> dict[str, dict[str, Any]]:
    """Every schema by its file name, such as `piece.json`."""
    found = {f"{name}.json": _whole(name, model, meanings) for name, model in ONE_A_FILE.items()}
    found |= {f"{name}.json": _lots(name, model, meanings) for name, model in LOT_FILES.items()}
    return found


def modeline(name: str, folders_deep: int = 0) -> str:
    """The first line of a record, by which editors find the schema without any network."""
    return f"# yaml-language-server: $schema={'../' * folders_deep}{FOLDER}/{name}.json"


def _whole(name: str, model: type[Record], meanings: Meanings) -> dict[str, Any]:
    schema = model.model_json_schema(by_alias=True, schema_generator=_Plain)
    for kind, each in (*schema.get("$defs", {}).items(), (model.__name__, schema)):
        _describe(kind.lower(), each, meanings)
    return {"$schema": DRAFT, **schema, "title": name}


def _lots(name: str, model: type[Record], meanings: Meanings) -> dict[str, Any]:
    """A file of lots: any name, and under it what is known of the lot."""
    one = _whole(model.__name__, model, meanings)
    kinds = one.pop("$defs", {})
    one.pop("$schema")
    return {
        "$schema": DRAFT,
        "title": name,
        "description": meanings[f"a_file.{name}"],
        "type": ["object", "null"],
        "additionalProperties": {"$ref": f"#/$defs/{model.__name__}"},
        "$defs": {**kinds, model.__name__: one},
    }


def _describe(kind: str, schema: dict[str, Any], meanings: Meanings) -> None:
    """Give the record and each word its meaning; names of the program's own fields are left out."""
    _describe_values(schema, meanings)
    schema.pop("title", None)
    schema["description"] = meanings[f"a_record.{kind}"]
    for word, shape in schema.get("properties", {}).items():
        shape.pop("title", None)
        own = meanings.get(f"in_{kind}.{word}")
        shape["description"] = own or meanings[f"in_any.{word}"]


def _describe_values(shape: Any, meanings: Meanings) -> None:
    """Inside lists and mappings a value has the meaning of its kind: weight, day, size ..."""
    for inner in shape.values() if isinstance(shape, dict) else shape:
        if isinstance(inner, (dict, list)):
            _describe_values(inner, meanings)
    if isinstance(shape, dict) and (meaning := meanings.get(f"a_value.{shape.get('description')}")):
        shape["description"] = meaning
