"""Papers that are drawn line by line: to the millimetre, in a few milliseconds. Tagged PDF/UA-1.

In: `Leaf`s, pages of lines and words placed in millimetres from the upper left corner. Out: the
bytes of a PDF. What a page says is told in the order in which it was put there (ISO 14289-1, 7.1;
ISO 32000-1, 14.7 and 14.8): words as paragraphs, drawings as figures with words of their own,
all else as decoration. One face, cut down, is embedded; equal leaves give equal bytes.
"""

import hashlib
import io
import zlib
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache
from html import escape

from provenance.press.letters.fonts import Cut, cut_for_paper, printable

POINTS = 72 / 25.4  # of a millimetre
Point = tuple[float, float]
_XMP = (
    '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/">'
    '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description '
    'rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" '
    'xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">'
    "<pdfuaid:part>1</pdfuaid:part>"
    '<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>'
    "<dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>"
    "</rdf:Description></rdf:RDF></x:xmpmeta>"
    '<?xpacket end="w"?>'
)


@dataclass
class Leaf:
    """One page, so many mm wide and high; `told` has what is on it: kind and words, in order."""

    width: float
    height: float
    marks: list[str] = field(default_factory=list)
    told: list[tuple[str, str]] = field(default_factory=list)
    signs: set[int] = field(default_factory=set)

    @contextmanager
    def figure(self, words: str) -> Iterator[None]:
        """Lines that belong together and are told in these words."""
        with self._tagged("Figure", words):
            yield

    @contextmanager
    def decoration(self) -> Iterator[None]:
        """Lines that say nothing."""
        self.marks.append("/Artifact BMC")
        yield
        self.marks.append("EMC")

    @contextmanager
    def _tagged(self, kind: str, words: str) -> Iterator[None]:
        self.marks.append(f"/{kind} <</MCID {len(self.told)}>> BDC")
        self.told.append((kind, words))
        yield
        self.marks.append("EMC")

    def line(self, *points: Point, wide: float = 0.2, dashes: str = "") -> None:
        """A line through some points; `dashes` in mm (`2 1`)."""
        start, *others = map(self._at, points)
        path = " ".join([f"{start} m", *(f"{each} l" for each in others)])
        pen = f"{wide * POINTS:.3f} w [{_scaled(dashes)}] 0 d"
        self.marks.append(f"{pen} {path} S")

    def grey(self, corner: Point, other: Point) -> None:
        """A box filled with light grey."""
        (x, y), (far, low) = corner, other
        box = f"{self._at((x, low))} {(far - x) * POINTS:.3f} {(low - y) * POINTS:.3f} re"
        self.marks.append(f"q 0.8 g {box} f Q")

    def ring(self, middle: Point, radius: float, wide: float = 0.2) -> None:
        """A circle of four bends."""
        (x, y), r, k = middle, radius, radius * 0.5523
        bends = (
            ((x + r, y - k), (x + k, y - r), (x, y - r)),
            ((x - k, y - r), (x - r, y - k), (x - r, y)),
            ((x - r, y + k), (x - k, y + r), (x, y + r)),
            ((x + k, y + r), (x + r, y + k), (x + r, y)),
        )
        path = " ".join(f"{' '.join(map(self._at, bend))} c" for bend in bends)
        self.marks.append(f"{wide * POINTS:.3f} w [] 0 d {self._at((x + r, y))} m {path} S")

    def words(
        self, at: Point, said: str, size: float = 9, *, turn: str = "start", is_told: bool = True
    ) -> None:
        """A line of words with its baseline at a point, `size` in points; `turn` start, middle or
        end; what is told elsewhere already is no part of the text."""
        text = _held(said)
        self.signs |= set(map(ord, text))
        back = {"start": 0.0, "middle": 0.5, "end": 1.0}[turn] * width_mm(text, size)
        place, codes = self._at((at[0] - back, at[1])), text.encode("utf-16-be").hex()
        with self._tagged("P", "") if is_told else self.decoration():
            self.marks.append(f"BT /F {size:g} Tf {place} Td <{codes}> Tj ET")

    def _at(self, point: Point) -> str:
        x, y = point
        return f"{x * POINTS:.3f} {(self.height - y) * POINTS:.3f}"


def _scaled(dashes: str) -> str:
    return " ".join(f"{float(each) * POINTS:.3f}" for each in dashes.split())


def width_mm(text: str, size: float) -> float:
    """How wide a line of words is, in mm, at a size in points."""
    widths = _face(map(ord, text)).widths
    return sum(widths.get(ord(sign), 0) for sign in text) * size / 1000 / POINTS


def drawn_pdf(
    leaves: Sequence[Leaf], title: str, author: str, language: str, created: date | None
) -> bytes:
    """The pages as one PDF; a sign that the face does not hold is left out of the words."""
    file = _File()
    root, pages, tree, document, parents = (file.place() for _ in range(5))
    font = _font(file, sorted(set().union(*(leaf.signs for leaf in leaves))))
    sheets, elements = [], []
    for turn, leaf in enumerate(leaves):
        page = _page(file, leaf, pages, font, turn)
        sheets.append(page)
        elements.append([_element(file, document, page, n, leaf) for n in range(len(leaf.told))])
    file.fill(pages, f"<</Type/Pages/Count {len(sheets)}/Kids[{_refs(sheets)}]>>")
    told = _refs(each for row in elements for each in row)
    file.fill(document, f"<</Type/StructElem/S/Document/P {tree} 0 R/K[{told}]>>")
    numbers = " ".join(f"{turn} [{_refs(row)}]" for turn, row in enumerate(elements))
    file.fill(parents, f"<</Nums[{numbers}]>>")
    file.fill(tree, f"<</Type/StructTreeRoot/K {document} 0 R/ParentTree {parents} 0 R"
                    f"/ParentTreeNextKey {len(leaves)}>>")  # fmt: skip
    said = _XMP.format(title=escape(title), author=escape(author)).encode()
    about = file.stream("/Type/Metadata/Subtype/XML", said, is_plain=True)
    file.fill(root, f"<</Type/Catalog/Pages {pages} 0 R/StructTreeRoot {tree} 0 R/Lang"
                    f"{_text(language)}/MarkInfo<</Marked true>>/Metadata {about} 0 R"
                    f"/ViewerPreferences<</DisplayDocTitle true/PrintScaling/None>>>>")  # fmt: skip
    return file.written(root, _information(file, title, author, created))


class _File:
    """A PDF in the making: its objects by number, from 1 (ISO 32000-1, 7.5)."""

    def __init__(self) -> None:
        self._bodies: list[bytes] = []

    def place(self) -> int:
        """The number of an object that is filled later."""
        self._bodies.append(b"")
        return len(self._bodies)

    def fill(self, number: int, body: str) -> None:
        self._bodies[number - 1] = body.encode("ascii")

    def put(self, body: str) -> int:
        """An object's number."""
        self._bodies.append(body.encode("ascii"))
        return len(self._bodies)

    def stream(self, entries: str, content: bytes, *, is_plain: bool = False) -> int:
        """A stream's number; metadata stay plain, so that any program finds them."""
        packed = content if is_plain else _packed(content)
        way = "" if is_plain else "/Filter/FlateDecode"
        head = f"<<{entries}{way}/Length {len(packed)}>>stream\n".encode()
        self._bodies.append(head + packed + b"\nendstream")
        return len(self._bodies)

    def written(self, root: int, information: int) -> bytes:
        """The bytes of the file."""
        into, starts = io.BytesIO(), []
        into.write(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
        for number, body in enumerate(self._bodies, 1):
            starts.append(into.tell())
            into.write(b"%d 0 obj\n%b\nendobj\n" % (number, body))
        table, size = into.tell(), len(starts) + 1
        name = hashlib.sha256(into.getvalue()).hexdigest()[:32].encode()
        into.write(b"xref\n0 %d\n0000000000 65535 f \n" % size)
        into.write(b"".join(b"%010d 00000 n \n" % start for start in starts))
        into.write(b"trailer\n<</Size %d/Root %d 0 R/Info %d 0 R/ID[<%b><%b>]>>\nstartxref\n%d\n"
                   b"%%%%EOF\n" % (size, root, information, name, name, table))  # fmt: skip
        return into.getvalue()


def _text(words: str) -> str:
    """A text string in any letters."""
    return f"<feff{words.encode('utf-16-be').hex()}>"


def _refs(numbers: Iterable[int]) -> str:
    return " ".join(f"{number} 0 R" for number in numbers)


def _box(leaf: Leaf) -> str:
    return f"[0 0 {leaf.width * POINTS:.3f} {leaf.height * POINTS:.3f}]"


def _page(file: _File, leaf: Leaf, pages: int, font: int, turn: int) -> int:
    content = file.stream("", "\n".join(["0 G 0 g 1 j", *leaf.marks]).encode())
    return file.put(
        f"<</Type/Page/Parent {pages} 0 R/MediaBox{_box(leaf)}/Contents {content} 0 R"
        f"/StructParents {turn}/Tabs/S/Resources<</Font<</F {font} 0 R>>>>>>"
    )


def _element(file: _File, document: int, page: int, number: int, leaf: Leaf) -> int:
    kind, words = leaf.told[number]
    box = f"/A<</O/Layout/BBox{_box(leaf)}/Placement/Block>>/Alt{_text(words)}" if words else ""
    return file.put(f"<</Type/StructElem/S/{kind}/P {document} 0 R/Pg {page} 0 R/K {number}{box}>>")


def _font(file: _File, signs: Sequence[int]) -> int:
    """The face as a composite font whose codes are the signs' own numbers."""
    face, name = _face(signs), "/STUDIO+StudioSans-Regular"
    program = file.stream(f"/Length1 {len(face.content)}", face.content)
    heights = f"/Ascent {face.ascent}/Descent {face.descent}/CapHeight {face.capital}"
    box = " ".join(map(str, face.box))
    about = file.put(
        f"<</Type/FontDescriptor/FontName{name}/Flags 32/ItalicAngle 0/StemV 80{heights}"
        f"/FontBBox[{box}]/FontFile2 {program} 0 R>>"
    )
    glyphs = bytearray(2 * (max(signs) + 1))
    for sign in signs:
        glyphs[2 * sign : 2 * sign + 2] = face.glyphs[sign].to_bytes(2)
    widths = " ".join(f"{sign} [{face.widths[sign]}]" for sign in signs)
    inner = file.put(
        f"<</Type/Font/Subtype/CIDFontType2/BaseFont{name}/DW 0/W[{widths}]/CIDSystemInfo<<"
        f"/Registry(Adobe)/Ordering(Identity)/Supplement 0>>/FontDescriptor {about} 0 R"
        f"/CIDToGIDMap {file.stream('', bytes(glyphs))} 0 R>>"
    )
    return file.put(
        f"<</Type/Font/Subtype/Type0/BaseFont{name}/Encoding/Identity-H/DescendantFonts"
        f"[{inner} 0 R]/ToUnicode {file.stream('', _read_as(signs))} 0 R>>"
    )


def _read_as(signs: Sequence[int]) -> bytes:
    """What each code is read as: itself (ISO 32000-1, 9.10.3; a hundred in a block)."""
    blocks = []
    for start in range(0, len(signs), 100):
        part = signs[start : start + 100]
        lines = "\n".join(f"<{sign:04X}> <{sign:04X}>" for sign in part)
        blocks.append(f"{len(part)} beginbfchar\n{lines}\nendbfchar")
    return (
        "/CIDInit /ProcSet findresource begin 12 dict begin begincmap\n"
        "/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def\n"
        "/CMapName /Adobe-Identity-UCS def /CMapType 2 def\n"
        "1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n"
        + "\n".join(blocks)
        + "\nendcmap CMapName currentdict /CMap defineresource pop end end"
    ).encode()


def _information(file: _File, title: str, author: str, created: date | None) -> int:
    day = f"/CreationDate(D:{created:%Y%m%d}000000Z)" if created else ""
    return file.put(f"<</Title{_text(title)}/Author{_text(author)}{day}>>")


def _held(said: str) -> str:
    """The text as the face can set it."""
    text = printable(said)
    glyphs = _face(map(ord, text)).glyphs
    return "".join(sign for sign in text if ord(sign) in glyphs)


def _face(signs: Iterable[int]) -> Cut:
    """The face with these signs; the usual one where it holds them all."""
    usual = cut_for_paper()
    more = frozenset(sign for sign in signs if sign not in usual.glyphs and sign <= 0xFFFF)
    return cut_for_paper(more) if more else usual


@lru_cache(maxsize=8)
def _packed(content: bytes) -> bytes:
    return zlib.compress(content, 9)
