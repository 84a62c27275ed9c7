"""Photos of a piece: which file, which view, its words for those who can't see it.

In: placed values; a photo may be written as its file name alone. Out: frozen records.
"""

from __future__ import annotations

from typing import Annotated, Any, ClassVar

from pydantic import BeforeValidator

from provenance.problems import NOWHERE, Said
from provenance.records import quantities as q
from provenance.records.fields import OneOf, Text
from provenance.records.reading import Record
from provenance.records.text import Fields, Items, Written

VIEWS = ("whole", "detail", "room", "back", "worn", "making", "mark")


class Photo(Record):
    """A picture in photos/, which view it shows, and its words for those who can't see it.

    `across` is how much cloth it shows from its left edge to its right, at the cloth's own size.
    """

    looks_like: ClassVar[Said] = Said("such.photo")

    file: Text
    view: Annotated[Written, OneOf(*VIEWS)] = Written("whole")
    alt: Text | None = None
    credit: Text | None = None
    across: q.Centimetres | None = None

    @property
    def is_found(self) -> bool:
        """Whether no record names it: it lies in photos/ under the number of an earlier piece."""
        return self.record_place == NOWHERE


def _photo_list(value: Any) -> Any:
    """A photo may be written as its file name alone."""
    if isinstance(value, Items):
        return Items(value.place, map(_with_file, value))
    return [_with_file(value)] if isinstance(value, Written) else value


def _with_file(value: Any) -> Any:
    if not isinstance(value, Written):
        return value
    return Fields(value.place, [(Written("file", value.place), value)])


class _PhotoShape:
    """What editors are told: photos, or their file names alone."""

    def __get_pydantic_json_schema__(self, schema: Any, handler: Any) -> dict[str, Any]:
        photos: dict[str, Any] = handler(schema)
        name = {"type": "string"}
        return {"anyOf": [name, {**photos, "items": {"anyOf": [name, photos["items"]]}}]}


Photos = Annotated[tuple[Photo, ...], BeforeValidator(_photo_list), _PhotoShape()]
