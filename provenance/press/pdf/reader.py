"""A small reader of finished PDF files, made of nothing the writer is made of.

In: the bytes of a PDF. Out: its objects, the files attached to it, and every picture drawn with
the place it is drawn at. Written from ISO 32000-1 (7.2 to 7.5 syntax, 7.4.4 predictors, 7.11 file
specifications, 8.3 and 8.8 matrices and images). It reads what our papers use: no encryption, no
filter but Flate.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from provenance.press.pdf.syntax import Reference, Stream, objects_of, packed_objects, value_at
from provenance.problems import Slip

_MOST_BYTES = 200_000_000
Matrix = tuple[float, float, float, float, float, float]


@dataclass(frozen=True, slots=True)
class Drawn:
    """A picture on a page: `matrix` takes the unit square to points; the page is `box`."""

    page: int
    picture: Stream
    matrix: Matrix
    box: tuple[float, float, float, float]


_ROOT = re.compile(rb"trailer\s*<<[^>]*?/Root\s+(\d+)\s+\d+\s+R", re.DOTALL)
_FAULTS = (ValueError, IndexError, KeyError, TypeError, AttributeError, zlib.error, RecursionError)


def _damaged() -> Slip:
    return Slip("the PDF file is damaged or of an unusual kind")


@contextmanager
def _whole() -> Iterator[None]:
    """Whatever a broken or hostile file leads to is said in one way."""
    try:
        yield
    except Slip:
        raise
    except _FAULTS as error:
        raise _damaged() from error


class Pdf:
    """The objects of a file by number; a later object of the same number wins."""

    def __init__(self, content: bytes) -> None:
        if not content.startswith(b"%PDF-"):
            raise Slip("this is not a PDF file")
        self._root: Any = None
        self._waiting: dict[int, tuple[bytes, int]] = {}
        with _whole():
            self._objects = dict(objects_of(content))
            self._unpack()
        if found := _ROOT.search(content):
            self._root = self._root or Reference(int(found[1]))

    def _unpack(self) -> None:
        for thing in self._objects.values():
            if _is_a(thing, "ObjStm"):
                self._waiting.update(packed_objects(self.decoded(thing), thing.entries))
            elif _is_a(thing, "XRef"):
                self._root = thing.entries.get("Root")

    def get(self, value: Any) -> Any:
        """The object itself when given a reference to it; packed ones are read when asked for."""
        for _ in range(32):
            if not isinstance(value, Reference):
                return value
            number = value.number
            if number in self._waiting and number not in self._objects:
                self._objects[number] = self._parsed(number)
            value = self._objects.get(number)
        raise _damaged()

    def _parsed(self, number: int) -> Any:
        with _whole():
            return value_at(*self._waiting[number])

    def decoded(self, stream: Stream) -> bytes:
        """The bytes of a stream, unpacked."""
        kind = self.get(stream.entries.get("Filter"))
        if isinstance(kind, list):
            kind = kind[0] if len(kind) == 1 else kind
        if kind in (None, []):
            return stream.raw
        if kind != "FlateDecode":
            raise Slip(f"the PDF file is packed in a way ({kind}) that is not read here")
        unpacker = zlib.decompressobj()
        content = unpacker.decompress(stream.raw, _MOST_BYTES)
        if unpacker.unconsumed_tail:
            raise Slip("the PDF file unpacks to far too much")
        return content

    def attachments(self) -> dict[str, bytes]:
        """The attached files by name."""
        with _whole():
            return self._attachments()

    def _attachments(self) -> dict[str, bytes]:
        found = {}
        for number in sorted(self._objects.keys() | self._waiting.keys()):
            spec = self.get(Reference(number))
            if _is_a(spec, "Filespec") and "EF" in spec:
                name = _spoken(self.get(spec.get("UF", spec.get("F", b""))))
                found[name] = self.decoded(self.get(self.get(spec["EF"])["F"]))
        return found

    def drawn(self) -> list[Drawn]:
        """Every picture drawn on every page, in drawing order."""
        with _whole():
            pages = self._pages(self.get(self.get(self._root)["Pages"]))
            return [
                drawn
                for number, page in enumerate(pages, 1)
                for drawn in self._on_page(page, number)
            ]

    def _pages(self, node: Mapping[str, Any], depth: int = 0) -> Iterator[Mapping[str, Any]]:
        if depth > 20:
            raise _damaged()
        if not _is_a(node, "Pages"):
            yield node
            return
        for kid in self.get(node["Kids"]):
            yield from self._pages(self.get(kid), depth + 1)

    def _on_page(self, page: Mapping[str, Any], number: int) -> Iterator[Drawn]:
        contents = self.get(page["Contents"])
        streams = contents if isinstance(contents, list) else [contents]
        code = b"\n".join(self.decoded(self.get(stream)) for stream in streams)
        box = tuple(float(edge) for edge in self.get(page["MediaBox"]))
        for picture, matrix in self._pictures(code, self.get(page["Resources"]), _IDENTITY):
            yield Drawn(number, picture, matrix, (box[0], box[1], box[2], box[3]))

    def _pictures(
        self, code: bytes, resources: Mapping[str, Any], matrix: Matrix, depth: int = 0
    ) -> Iterator[tuple[Stream, Matrix]]:
        if depth > 20:
            raise Slip("the PDF file is nested too deeply")
        named = self.get(resources.get("XObject", {}))
        for name, placed in _paints(code, matrix):
            thing = self.get(named.get(name))
            if _is_a(thing, "Image", "Subtype"):
                yield thing, placed
            elif _is_a(thing, "Form", "Subtype"):
                own = self.get(thing.entries.get("Matrix", list(_IDENTITY)))
                inner = self.get(thing.entries.get("Resources", resources))
                within = _times(_matrix(own), placed)
                yield from self._pictures(self.decoded(thing), inner, within, depth + 1)


def grey_rows(pdf: Pdf, picture: Stream) -> list[bytes] | None:
    """The rows of an 8-bit grey picture; None for a picture of another kind."""
    about = picture.entries
    is_grey = about.get("ColorSpace") == "DeviceGray" and about.get("BitsPerComponent") == 8
    if not is_grey or about.get("Filter") != "FlateDecode":
        return None
    width, content = int(about["Width"]), pdf.decoded(picture)
    if pdf.get(about.get("DecodeParms", {})).get("Predictor", 1) < 10:
        return [content[start : start + width] for start in range(0, len(content), width)]
    rows, above = [], bytes(width)
    for start in range(0, len(content), width + 1):
        above = _unfiltered(content[start], content[start + 1 : start + 1 + width], above)
        rows.append(above)
    return rows


def _unfiltered(kind: int, row: bytes, above: bytes) -> bytes:
    """One row of a PNG predictor, one byte a pixel (PNG 1.2, chapter 6)."""
    if kind == 0:
        return row
    if kind == 2:
        return bytes((value + up) & 255 for value, up in zip(row, above, strict=True))
    made, left, corner = bytearray(), 0, 0
    for value, up in zip(row, above, strict=True):
        if kind == 1:
            guess = left
        elif kind == 3:
            guess = (left + up) // 2
        else:
            guess = _nearest(left, up, corner)
        left, corner = (value + guess) & 255, up
        made.append(left)
    return bytes(made)


def _nearest(left: int, up: int, corner: int) -> int:
    """Which of the three is nearest to left + up - corner (Paeth); at a tie the first."""
    to_left, to_up = abs(up - corner), abs(left - corner)
    to_corner = abs(left + up - corner - corner)
    if to_left <= to_up and to_left <= to_corner:
        return left
    return up if to_up <= to_corner else corner


_IDENTITY: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
_PAINT = re.compile(
    rb"\((?:\\.|[^\\()])*\)|<[0-9A-Fa-f\s]*>"
    rb"|(?<!\S)(?:(?P<cm>(?:[-+.\d]+\s+){6})cm|/(?P<do>\S+)\s+Do|(?P<save>q)|(?P<restore>Q))(?!\S)",
    re.DOTALL,
)


def _paints(code: bytes, matrix: Matrix) -> Iterator[tuple[str, Matrix]]:
    """The pictures and forms that a content stream draws, with the matrix then in force."""
    kept = []
    for found in _PAINT.finditer(code):
        if found["cm"]:
            matrix = _times(_matrix([float(part) for part in found["cm"].split()]), matrix)
        elif found["do"]:
            yield found["do"].decode("latin-1"), matrix
        elif found["save"]:
            kept.append(matrix)
        elif found["restore"] and kept:
            matrix = kept.pop()


def _matrix(values: list[float]) -> Matrix:
    a, b, c, d, e, f = values
    return a, b, c, d, e, f


def _times(first: Matrix, then: Matrix) -> Matrix:
    a, b, c, d, e, f = first
    p, q, r, s, t, u = then
    return (
        a * p + b * r,
        a * q + b * s,
        c * p + d * r,
        c * q + d * s,
        e * p + f * r + t,
        e * q + f * s + u,
    )


def _is_a(thing: Any, kind: str, key: str = "Type") -> bool:
    entries = thing.entries if isinstance(thing, Stream) else thing
    return isinstance(entries, Mapping) and entries.get(key) == kind


def _spoken(text: bytes) -> str:
    if text.startswith(b"\xfe\xff"):
        return text[2:].decode("utf-16-be", "replace")
    return text.decode("latin-1")
