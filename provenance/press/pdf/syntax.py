"""The syntax of PDF files: bytes in, plain values out.

In: the bytes of a file. Out: its objects by number, as dictionaries, lists, numbers, strings
(bytes), names (str) and streams. From ISO 32000-1, 7.2 to 7.5. The file is read from front to
back, each stream passed over by its length, so that nothing inside a stream is taken for an
object.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

_HEAD = re.compile(rb"(\d+)\s+\d+\s+obj\b")
_STREAM = re.compile(rb"\s*stream\r?\n")
_SKIP = re.compile(rb"(?:[\0\t\n\f\r ]+|%[^\r\n]*)*")
_REFERENCE = re.compile(rb"(\d+)\s+(\d+)\s+R(?![A-Za-z])")
_NUMBER = re.compile(rb"[+-]?(?:\d+\.?\d*|\.\d+)")
_NAME = re.compile(rb"/([^\0\t\n\f\r ()<>\[\]{}/%]*)")
_HEX = re.compile(rb"<([0-9A-Fa-f\s]*)>")
_WORD = re.compile(rb"true|false|null")
_WORDS = {b"true": True, b"false": False, b"null": None}
_ESCAPES = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f"}
_LITERAL_PART = re.compile(rb"[^()\\]+|\\(?:[0-7]{1,3}|\r\n|.)|[()]", re.DOTALL)


class Reference(NamedTuple):
    """Points to an object by its number."""

    number: int


@dataclass(frozen=True, slots=True)
class Stream:
    """A dictionary with bytes after it, still as they lie in the file."""

    entries: Mapping[str, Any]
    raw: bytes = field(repr=False)


def objects_of(content: bytes) -> Iterator[tuple[int, Any]]:
    """Number and value of each object, in the order of the file; ValueError when damaged."""
    at = 0
    while found := _HEAD.search(content, at):
        value, at = _value(content, found.end())
        if isinstance(value, dict) and (start := _STREAM.match(content, at)):
            end = start.end() + _length(value, content)
            value, at = Stream(value, content[start.end() : end]), end
        yield int(found[1]), value


def packed_objects(
    content: bytes, about: Mapping[str, Any]
) -> Iterator[tuple[int, tuple[bytes, int]]]:
    """Number of each object inside an object stream, and where `value_at` finds it."""
    first, heads = about["First"], content[: about["First"]].split()
    for number, offset in zip(heads[::2], heads[1::2], strict=True):
        yield int(number), (content, first + int(offset))


def value_at(content: bytes, at: int) -> Any:
    """The value that is written at a place; ValueError when there is none."""
    return _value(content, at)[0]


def _length(entries: Mapping[str, Any], content: bytes) -> int:
    length = entries["Length"]
    if isinstance(length, Reference):
        head = re.search(rb"(?<!\d)%d\s+\d+\s+obj\s+(\d+)" % length.number, content)
        length = int(head[1]) if head else -1
    if length < 0:
        raise ValueError("a stream without length")
    return int(length)


def _value(content: bytes, at: int) -> tuple[Any, int]:
    at = _end_of_space(content, at)
    if content.startswith(b"<<", at):
        return _dictionary(content, at + 2)
    if content.startswith(b"[", at):
        return _list(content, at + 1)
    if content.startswith(b"(", at):
        return _literal(content, at + 1)
    for pattern, turn in _ATOMS:
        if found := pattern.match(content, at):
            return turn(found), found.end()
    raise ValueError(f"no value at {at}")


def _end_of_space(content: bytes, at: int) -> int:
    found = _SKIP.match(content, at)
    return found.end() if found else at


def _list(content: bytes, at: int) -> tuple[list[Any], int]:
    values = []
    while not content.startswith(b"]", at := _end_of_space(content, at)):
        value, at = _value(content, at)
        values.append(value)
    return values, at + 1


def _dictionary(content: bytes, at: int) -> tuple[dict[str, Any], int]:
    entries: dict[str, Any] = {}
    while not content.startswith(b">>", at := _end_of_space(content, at)):
        name, at = _value(content, at)
        entries[str(name)], at = _value(content, at)
    return entries, at + 2


def _literal(content: bytes, at: int) -> tuple[bytes, int]:
    parts: list[bytes] = []
    depth = 1
    while True:
        found = _LITERAL_PART.match(content, at)
        if not found:
            raise ValueError("a string without end")
        part, at = found.group(), found.end()
        depth += {b"(": 1, b")": -1}.get(part, 0)
        if not depth:
            return b"".join(parts), at
        parts.append(_unescaped(part))


def _unescaped(part: bytes) -> bytes:
    if part[:1] != b"\\":
        return part
    if part[1:].isdigit():
        return bytes([int(part[1:], 8) % 256])
    return b"" if part[1:2] in b"\r\n" else _ESCAPES.get(part[1:], part[1:])


def _hex(found: re.Match[bytes]) -> bytes:
    digits = b"".join(found[1].split())
    return bytes.fromhex((digits + b"0" * (len(digits) % 2)).decode("ascii"))


def _number(found: re.Match[bytes]) -> int | float:
    return float(found.group()) if b"." in found.group() else int(found.group())


def _name(found: re.Match[bytes]) -> str:
    return re.sub(
        r"#([0-9A-Fa-f]{2})", lambda two: chr(int(two[1], 16)), found[1].decode("latin-1")
    )


_ATOMS: tuple[tuple[re.Pattern[bytes], Any], ...] = (
    (_REFERENCE, lambda found: Reference(int(found[1]))),
    (_NUMBER, _number),
    (_NAME, _name),
    (_HEX, _hex),
    (_WORD, lambda found: _WORDS[found.group()]),
)
