"""Several finished papers as one file: their pages in turn.

In: the bytes of PDF files written by `pdf.render_pdf`, not archival ones. Out: one PDF. Objects
get new numbers and are otherwise as they were; title and language are those of the first. Written
from ISO 32000-1 (7.3 objects, 7.5 file structure). It is there because one long paper takes longer
than its parts, and parts can be rendered on several cores.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from provenance.press.pdf.syntax import Reference, Stream, objects_of, packed_objects, value_at

_REGULAR = re.compile(r"[!-~]")
_DELIMITERS = frozenset("()<>[]{}/%#")
_HEAD = b"%PDF-1.7\n%\xf0\x9f\x96\xa4\n"


def joined(papers: Sequence[bytes]) -> bytes:
    """The pages of all papers in one file; a single paper comes back as it is."""
    if len(papers) == 1:
        return papers[0]
    written: dict[int, bytes] = {}
    pages: list[Reference] = []
    first: Mapping[str, Any] = {}
    shift = 2  # 1 is the catalogue, 2 the tree of pages
    for content in papers:
        objects, trailer = _objects(content)
        first = first or {**_catalogue(objects, trailer), "Info": objects.get(_info(trailer), {})}
        kids = list(_pages(objects, _catalogue(objects, trailer)["Pages"]))
        pages += [Reference(kid + shift) for kid in kids]
        for number, value in objects.items():
            own = {**value, "Parent": Reference(2 - shift)} if number in kids else value
            written[number + shift] = _bytes(own, shift)
        shift += max(objects)
    tree = {"Type": "Pages", "Count": len(pages), "Kids": pages}
    root = {"Type": "Catalog", "Pages": Reference(2)}
    root |= {"Lang": first["Lang"]} if "Lang" in first else {}
    written |= {1: _bytes(root, 0), 2: _bytes(tree, 0), shift + 1: _bytes(first["Info"], 0)}
    return _file(written, shift + 1)


def _objects(content: bytes) -> tuple[dict[int, Any], Mapping[str, Any]]:
    """Objects by number, packed ones unpacked, and what the file's trailer says."""
    found: dict[int, Any] = {}
    trailer: Mapping[str, Any] = {}
    for number, value in objects_of(content):
        kind = value.entries.get("Type") if isinstance(value, Stream) else None
        if kind == "ObjStm":
            for inner, place in packed_objects(zlib.decompress(value.raw), value.entries):
                found[inner] = value_at(*place)
        elif kind == "XRef":
            trailer = value.entries
        else:
            found[number] = value
    if "Root" not in trailer:
        raise ValueError("not a paper of ours: no cross-reference stream")
    return found, trailer


def _catalogue(objects: Mapping[int, Any], trailer: Mapping[str, Any]) -> Mapping[str, Any]:
    root: Mapping[str, Any] = objects[trailer["Root"].number]
    return root


def _info(trailer: Mapping[str, Any]) -> int:
    return trailer["Info"].number if "Info" in trailer else 0


def _pages(objects: Mapping[int, Any], node: Reference) -> Iterator[int]:
    value = objects[node.number]
    if value["Type"] == "Page":
        yield node.number
        return
    for kid in value["Kids"]:
        yield from _pages(objects, kid)


def _bytes(value: Any, shift: int) -> bytes:
    """A value as it is written, its references moved by `shift`."""
    if isinstance(value, Stream):
        return b"%b\nstream\n%b\nendstream" % (_bytes(value.entries, shift), value.raw)
    if isinstance(value, Reference):
        return b"%d 0 R" % (value.number + shift)
    if isinstance(value, Mapping):
        inside = b" ".join(_name(k) + b" " + _bytes(v, shift) for k, v in value.items())
        return b"<<%b>>" % inside
    if isinstance(value, list):
        return b"[%b]" % b" ".join(_bytes(each, shift) for each in value)
    if isinstance(value, bytes):
        return b"<%b>" % value.hex().encode()
    if isinstance(value, str):
        return _name(value)
    if value is None or isinstance(value, bool):
        return {None: b"null", True: b"true", False: b"false"}[value]
    return str(value).encode() if isinstance(value, int) else b"%.6f" % value


def _name(name: str) -> bytes:
    return b"/" + b"".join(
        sign.encode() if _REGULAR.match(sign) and sign not in _DELIMITERS
        else b"#%02X" % ord(sign)
        for sign in name
    )  # fmt: skip


def _file(objects: Mapping[int, bytes], info: int) -> bytes:
    """Objects in order of their numbers, then the table of their places."""
    parts, places, at = [_HEAD], {}, len(_HEAD)
    for number in sorted(objects):
        part = b"%d 0 obj\n%b\nendobj\n" % (number, objects[number])
        places[number] = at
        parts.append(part)
        at += len(part)
    count = max(objects) + 1
    lines = [b"0000000000 65535 f \n"]
    lines += [
        b"%010d 00000 n \n" % places[number] if number in places else b"0000000000 65535 f \n"
        for number in range(1, count)
    ]
    trailer = b"trailer\n<</Size %d /Root 1 0 R /Info %d 0 R>>\n" % (count, info)
    parts += [b"xref\n0 %d\n" % count, *lines, trailer, b"startxref\n%d\n%%%%EOF\n" % at]
    return b"".join(parts)
