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
from dataclasses import dataclass
from typing import Any

from provenance.documents.pdf_syntax import Reference, Stream, objects_of, packed_objects
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


class Pdf:
    """The objects of a file by number; a later object of the same number wins."""

    def __init__(self, content: bytes) -> None:
        if not content.startswith(b"%PDF-"):
            raise Slip("this is not a PDF file")
        try:
            self.objects = dict(objects_of(content))
            for stream in list(self.objects.values()):
                if isinstance(stream, Stream) and stream.entries.get("Type") == "ObjStm":
                    self.objects.update(packed_objects(self.decoded(stream), stream.entries))
        except (ValueError, IndexError, KeyError, TypeError, zlib.error, RecursionError) as error:
            raise Slip("the PDF file is damaged or of an unusual kind") from error

    def get(self, value: Any) -> Any:
        """The object itself when given a reference to it."""
        for _ in range(32):
            if not isinstance(value, Reference):
                return value
            value = self.objects.get(value.number)
        raise Slip("the PDF file is damaged: its references run in a circle")

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
        found = {}
        for spec in self.objects.values():
            if isinstance(spec, dict) and spec.get("Type") == "Filespec" and "EF" in spec:
                name = _spoken(self.get(spec.get("UF", spec.get("F", b""))))
                stream = self.get(self.get(spec["EF"])["F"])
                found[name] = self.decoded(stream)
        return found

    def drawn(self) -> list[Drawn]:
        """Every picture drawn on every page, in drawing order."""
        pages = [page for page in self.objects.values() if _is_a(page, "Page")]
        return [
            drawn for number, page in enumerate(pages, 1) for drawn in self._on_page(page, number)
        ]

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
    made = bytearray()
    for at, value in enumerate(row):
        left, up, corner = (made[at - 1], above[at], above[at - 1]) if at else (0, above[at], 0)
        nearest = min((left, up, corner), key=lambda near: abs(left + up - corner - near))
        guess = (0, left, up, (left + up) // 2, nearest)[kind]
        made.append((value + guess) % 256)
    return bytes(made)


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
