"""One short name for a value of ours: equal values have equal digests, and only they.

In: records, public facts, plain values and rows of them. Out: SHA-256 in hexadecimal. The place
where a record stands is no part of it: a line put in above changes nothing of what was written. A
build asks for thousands of them: how a kind of value is told is found once.
"""

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

from provenance.problems import Place

_PLAIN = (type(None), bool, int, float, Fraction, Decimal, date)
_Tell = Callable[[Any, list[str]], None]


def digest_of(*values: Any) -> str:
    """The digest of some values together. Raises TypeError for what can't be told apart."""
    told: list[str] = []
    _row(values, told)
    return hashlib.sha256("\0".join(told).encode("utf-8", "surrogatepass")).hexdigest()


def _each(values: Iterable[Any], told: list[str]) -> None:
    """Add values in texts, each kind marked, rows with their length."""
    for value in values:
        kind = value.__class__
        (_WAYS.get(kind) or _way_of(kind))(value, told)


def _text(value: str, told: list[str]) -> None:
    told += (f"s{len(value)}", value)


def _bytes(value: bytes, told: list[str]) -> None:
    told.append(f"b{hashlib.sha256(value).hexdigest()}")


def _plain(value: Any, told: list[str]) -> None:
    told.append(f"p{value!r}")


def _mapping(value: Mapping[Any, Any], told: list[str]) -> None:
    told.append(f"m{len(value)}")
    for pair in value.items():
        _row(pair, told)


def _row(value: tuple[Any, ...] | list[Any], told: list[str]) -> None:
    told.append(f"r{len(value)}")
    _each(value, told)


def _set(value: frozenset[Any], told: list[str]) -> None:
    _row(sorted(value), told)


def _path(value: Path, told: list[str]) -> None:
    told.append(f"f{value}")


def _place(value: Place, told: list[str]) -> None:
    """Where something stands is no part of it."""


_KINDS: tuple[tuple[type | tuple[type, ...], _Tell], ...] = (
    (str, _text), (bytes, _bytes), (_PLAIN, _plain), (Mapping, _mapping), ((tuple, list), _row),
    (frozenset, _set), (Path, _path), (Place, _place),
)  # fmt: skip
_WAYS: dict[type, _Tell] = {}


def _way_of(kind: type) -> _Tell:
    """How a kind of value is told."""
    known = (way for kinds, way in _KINDS if issubclass(kind, kinds))
    _WAYS[kind] = next(known, None) or _by_fields(kind)
    return _WAYS[kind]


def _by_fields(kind: type) -> _Tell:
    """How a record or a frozen fact is told: its name, then its fields in turn."""
    name, names = kind.__name__, _names(kind)

    def tell(value: Any, told: list[str]) -> None:
        told.append(name)
        _each([getattr(value, each) for each in names], told)

    return tell


def _names(kind: type) -> tuple[str, ...]:
    if model := getattr(kind, "model_fields", None):  # a record
        return tuple(name for name in model if name != "record_place")
    if is_dataclass(kind):
        return tuple(field.name for field in fields(kind))
    raise TypeError(f"no digest of a {kind.__name__}")
