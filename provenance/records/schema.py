"""What editors complete records from: a JSON Schema for each kind of record.

In: the record kinds and `words.toml`. Out: schemas (draft 2020-12) by file name, and the line that
ties a record to its schema. They only help while typing: what a record may say is settled when it
is read, so the schemas are as wide as the reading, and say in a phrase what each word is for.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from provenance.records.baths import Bath
from provenance.records.book import LOT_FILES
from provenance.records.commissions import Commission
from provenance.records.pieces import Piece
from provenance.records.reading import Record
from provenance.records.studio import StudioFile

DRAFT = "https://json-schema.org/draft/2020-12/schema"
FOLDER = ".schemas"
ONE_A_FILE: Mapping[str, type[Record]] = {
    "piece": Piece,
    "bath": Bath,
    "commission": Commission,
    "studio": StudioFile,
}


class _Plain(GenerateJsonSchema):
    """Schemas without defaults: what is left out is the studio's own business."""

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])


def schemas() -> dict[str, dict[str, Any]]:
    """Every schema by its file name, such as `piece.json`."""
    found = {f"{name}.json": _whole(name, model) for name, model in ONE_A_FILE.items()}
    found |= {f"{name}.json": _lots(name, model) for name, model in LOT_FILES.items()}
    return found


def modeline(name: str, folders_deep: int = 0) -> str:
    """The first line of a record, by which editors find the schema without any network."""
    return f"# yaml-language-server: $schema={'../' * folders_deep}{FOLDER}/{name}.json"


def _whole(name: str, model: type[Record]) -> dict[str, Any]:
    schema = model.model_json_schema(by_alias=True, schema_generator=_Plain)
    for kind, each in (*schema.get("$defs", {}).items(), (model.__name__, schema)):
        _describe(kind.lower(), each)
    return {"$schema": DRAFT, **schema, "title": name}


def _lots(name: str, model: type[Record]) -> dict[str, Any]:
    """A file of lots: any name, and under it what is known of the lot."""
    one = _whole(model.__name__, model)
    kinds = one.pop("$defs", {})
    one.pop("$schema")
    described = f"{model.__name__} by name; each name is a lot."
    return {
        "$schema": DRAFT,
        "title": name,
        "description": described,
        "type": ["object", "null"],
        "additionalProperties": {"$ref": f"#/$defs/{model.__name__}"},
        "$defs": {**kinds, model.__name__: one},
    }


def _describe(kind: str, schema: dict[str, Any]) -> None:
    """Give each word its meaning; the names of the program's own fields are left out."""
    schema.pop("title", None)
    for word, shape in schema.get("properties", {}).items():
        shape.pop("title", None)
        shape["description"] = meaning(kind, word)


def meaning(kind: str, word: str) -> str:
    """What a word is for, in a kind of record."""
    words = _words()
    return words.get(kind, {}).get(word) or words["any"][word]


@cache
def _words() -> dict[str, dict[str, str]]:
    text = Path(__file__).with_name("words.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)
