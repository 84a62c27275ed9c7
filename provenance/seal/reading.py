"""A statement as it comes from outside: read strictly, and taken apart.

In: bytes that anyone may have made. Out: the document, or a Slip that says why it is none of ours;
its leaves by their places. A JSON reader that keeps the last of two equal names can be shown
another text than the one that was signed: two equal names are refused. Ours hold texts, lists and
objects alone, so that a number, true, false and null are refused too.
"""

import json
from collections.abc import Iterator, Mapping
from typing import Any, NoReturn

from provenance.problems import Said, Slip

MOST_BYTES = 2_000_000


def read_document(content: bytes) -> dict[str, Any]:
    """The document. Slip for what can't be a statement, or a list of keys, of ours."""
    if len(content) > MOST_BYTES:
        raise Slip(Said("seal.too_large"))
    try:
        text = content.decode("utf-8")
        found = json.loads(
            text,
            object_pairs_hook=_object,
            parse_int=_refuse,
            parse_float=_refuse,
            parse_constant=_refuse,
        )
        holes = [where for where, value in leaves(found) if not isinstance(value, str)]
    except (UnicodeDecodeError, json.JSONDecodeError, RecursionError):
        raise Slip(Said("seal.no_json")) from None
    if not isinstance(found, dict):
        raise Slip(Said("seal.no_json"))
    if holes:
        raise Slip(Said("seal.no_text", where=holes[0]))
    return found


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name, value in pairs:
        if name in found:
            raise Slip(Said("seal.twice", name=name[:40]))
        found[name] = value
    return found


def _refuse(text: str) -> NoReturn:
    raise Slip(Said("seal.number", text=text[:40]))


def leaves(value: Any, place: str = "") -> Iterator[tuple[str, Any]]:
    """Every text by its place, such as `credentialSubject.care[0]`; an empty list or object by
    itself."""
    if isinstance(value, Mapping) and value:
        for name, each in value.items():
            yield from leaves(each, f"{place}.{name}" if place else name)
    elif isinstance(value, list) and value:
        for turn, each in enumerate(value):
            yield from leaves(each, f"{place}[{turn}]")
    elif isinstance(value, Mapping):
        yield place, "{}"
    else:
        yield place, "[]" if value == [] else value


def differences(mine: Mapping[str, Any], theirs: Mapping[str, Any]) -> list[str]:
    """The places at which two documents, or their proofs, say something else."""
    one, other = dict(leaves(mine)), dict(leaves(theirs))
    places = dict.fromkeys([*one, *other])
    return [place for place in places if one.get(place) != other.get(place)]
