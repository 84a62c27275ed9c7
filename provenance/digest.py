"""One short name for a value of ours: equal values have equal digests, and only they.

In: records, public facts, plain values and rows of them. Out: SHA-256 in hexadecimal. The place
where a record stands is no part of it: a line put in above changes nothing of what was written.
"""

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

from provenance.problems import Place

_PLAIN = (type(None), bool, int, float, Fraction, Decimal, date)


def digest_of(*values: Any) -> str:
    """The digest of some values together. Raises TypeError for what can't be told apart."""
    return hashlib.sha256("\0".join(_told(values)).encode("utf-8", "surrogatepass")).hexdigest()


def _told(value: Any) -> Iterator[str]:
    """A value in texts, each kind marked, rows with their length."""
    if isinstance(value, str):
        yield f"s{len(value)}"
        yield value
    elif isinstance(value, bytes):
        yield f"b{hashlib.sha256(value).hexdigest()}"
    elif isinstance(value, _PLAIN):
        yield f"p{value!r}"
    elif isinstance(value, Mapping):
        yield f"m{len(value)}"
        for pair in value.items():
            yield from _told(pair)
    elif isinstance(value, (tuple, list)):
        yield f"r{len(value)}"
        for each in value:
            yield from _told(each)
    elif isinstance(value, frozenset):
        yield from _told(tuple(sorted(value)))
    else:
        yield from _of_fields(value)


def _of_fields(value: Any) -> Iterator[str]:
    if isinstance(value, Path):
        yield f"f{value}"
    elif not isinstance(value, Place):
        yield type(value).__name__
        for name in _names(value.__class__):
            yield from _told(getattr(value, name))


@cache
def _names(kind: type) -> tuple[str, ...]:
    if model := getattr(kind, "model_fields", None):  # a record
        return tuple(name for name in model if name != "record_place")
    if is_dataclass(kind):
        return tuple(field.name for field in fields(kind))
    raise TypeError(f"no digest of a {kind.__name__}")
