"""A finished paper in the inks of one press, by that printer's own profile.

In: a PDF in sRGB by `pdf.render`, the opened profile. Out: `Inked`: the same pages in DeviceCMYK
with the profile as output intent (ISO 32000-2, 14.11.5), and the heaviest coat of ink in any of its
pictures and colours. Letters, lines and greys become black ink alone; all other colours and all
pictures go through the profile. What can't be turned stops it: no RGB is left in the file. It
claims no PDF/X, and no longer PDF/A, whose colours were sRGB. Equal papers give equal bytes.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from provenance.press.pdf.claims import no_archive
from provenance.press.pdf.opening import opened, saved
from provenance.press.pictures.inks import InInks, Press, is_grey
from provenance.problems import Said, Slip

HEAVY = 300  # percent; above it many printers send a file back (common practice, sheet-fed offset)
_RGB = ("/DeviceRGB", "/CalRGB", "/Lab", "/RGB")


@dataclass(frozen=True, slots=True)
class Inked:
    """`most` is the heaviest coat in percent of one full ink, 400 at most."""

    content: bytes
    most: int

    @property
    def is_heavy(self) -> bool:
        return self.most > HEAVY


def in_inks(paper: bytes | Path, press: Press, into: Path | None = None) -> Inked:
    """The paper in inks; Slip where something in it can't be turned. Its content is empty where it
    goes `into` a file."""
    with opened(paper) as document:
        most = _Turning(document, press).all()
        _say_for_which_press(document, press)
        no_archive(document)
        document.remove_unreferenced_resources()
        left = sorted(set(rgb_in(document)))
        if left:
            raise Slip(Said("inks.left", what=", ".join(left)), Said("inks.left_help"))
        return Inked(saved(document, into), most)


class _Turning:
    """Turns a document's pictures and colours."""

    def __init__(self, document: Any, press: Press) -> None:
        self.document, self.press, self.most = document, press, 0

    def all(self) -> int:
        """Everything; the heaviest coat."""
        import pikepdf

        for page in self.document.pages:
            page.contents_coalesce()
            page.Contents = self.document.make_stream(self._drawn(page))
        for thing in list(self.document.objects):
            if isinstance(thing, pikepdf.Stream):
                self._stream(thing)
            if isinstance(thing, (pikepdf.Stream, pikepdf.Dictionary)):
                _of_resources(thing)
        return self.most

    def _stream(self, stream: Any) -> None:
        if stream.get("/Subtype") == "/Image":
            self._picture(stream)
        elif _is_drawn(stream):
            stream.write(self._drawn(stream))

    def _drawn(self, stream: Any) -> bytes:
        """A page's or a drawing's strokes and fills in inks."""
        import pikepdf

        told: list[Any] = []
        read: Any = pikepdf.parse_content_stream(stream)
        for operands, operator in read:
            told.append((operands, operator))
            turned = {"rg": "k", "RG": "K", "g": "k", "G": "K"}.get(str(operator))
            if turned:
                parts = [float(part) for part in operands]
                inks = self._inks(*(parts * 3 if len(parts) == 1 else parts))
                told[-1] = (list(inks), pikepdf.Operator(turned))
        return bytes(pikepdf.unparse_content_stream(told))

    def _inks(self, red: float, green: float, blue: float) -> list[Any]:
        from decimal import Decimal

        inks = self.press.colour(red, green, blue)
        self.most = max(self.most, round(sum(inks) * 100))
        return [Decimal(str(ink)) for ink in inks]

    def _picture(self, image: Any) -> None:
        """A photo stays a JPEG; a drawn picture without colour becomes black ink alone."""
        import pikepdf

        if not _is_rgb(image.get("/ColorSpace")) or image.get("/ImageMask"):
            return
        seen, name = pikepdf.PdfImage(image).as_pil_image(), pikepdf.Name
        if is_grey(seen):
            image.write(seen.convert("L").tobytes())
            image.ColorSpace, image.BitsPerComponent = name.DeviceGray, 8
            _drop(image, "/Decode", "/DecodeParms")
            return
        is_photo = image.get("/Filter") == "/DCTDecode"
        made: InInks = self.press.photo(seen) if is_photo else self.press.flat(seen)
        _drop(image, "/Decode", "/DecodeParms")
        if is_photo:
            image.write(made.content, filter=name.DCTDecode)
            image.Decode = [1, 0] * 4
        else:
            image.write(made.content)
        image.ColorSpace, image.BitsPerComponent = name.DeviceCMYK, 8
        self.most = max(self.most, made.most)


def _is_drawn(stream: Any) -> bool:
    """Whether a stream is strokes and fills: a drawing to be placed, or a pattern of one."""
    return bool(stream.get("/Subtype") == "/Form" or stream.get("/PatternType") == 1)


def _drop(thing: Any, *names: str) -> None:
    for name in names:
        if name in thing:
            del thing[name]


def _of_resources(thing: Any) -> None:
    """Colour spaces that are named but turned, and those of groups."""
    import pikepdf

    if thing.get("/S") == "/Transparency" and _is_rgb(thing.get("/CS")):
        thing.CS = pikepdf.Name.DeviceCMYK
    for holder in (thing, thing.get("/Resources")):
        if isinstance(holder, pikepdf.Dictionary) and "/ColorSpace" in holder:
            _drop_lights(holder.get("/ColorSpace"))


def _drop_lights(spaces: Any) -> None:
    """Names of RGB spaces that nothing uses any more."""
    if hasattr(spaces, "keys"):
        named = [str(name) for name in spaces.keys()]  # noqa: SIM118
        _drop(spaces, *[name for name in named if _is_rgb(spaces[name])])


def _say_for_which_press(document: Any, press: Press) -> None:
    import pikepdf

    profile = document.make_stream(press.content)
    profile.N = 4
    intent = pikepdf.Dictionary(
        Type=pikepdf.Name.OutputIntent, S=pikepdf.Name("/GTS_PDFX"),
        OutputConditionIdentifier=press.description, Info=press.description,
        DestOutputProfile=document.make_indirect(profile),
    )  # fmt: skip
    document.Root.OutputIntents = pikepdf.Array([intent])


def rgb_in(document: Any) -> Iterator[str]:
    """What in a document is not in inks: pictures, colours, spaces, blends."""
    import pikepdf

    drawn = [page.obj for page in document.pages]
    for thing in document.objects:
        if not isinstance(thing, (pikepdf.Stream, pikepdf.Dictionary)):
            continue
        for key in ("/ColorSpace", "/CS"):
            if _is_rgb(thing.get(key)):
                yield f"{thing.get('/Subtype', thing.get('/S', 'shading'))} {key}"
        if isinstance(thing, pikepdf.Stream) and _is_drawn(thing):
            drawn.append(thing)
    for one in drawn:
        yield from _rgb_drawn(one)


def _rgb_drawn(one: Any) -> Iterator[str]:
    import pikepdf

    it: Any = one if isinstance(one, pikepdf.Stream) else pikepdf.Page(one)
    read: Any = pikepdf.parse_content_stream(it)
    for operands, operator in read:
        if str(operator) in ("rg", "RG"):
            yield str(operator)
        elif str(operator) in ("cs", "CS") and str(operands[0]) in (*_RGB, "/srgb"):
            yield str(operands[0])
        elif str(operator) == "INLINE IMAGE":
            yield "inline image"


def _is_rgb(space: Any) -> bool:
    """Whether a colour space means colours of light: RGB, Lab, a profile of three numbers."""
    import pikepdf

    if isinstance(space, pikepdf.Name):
        return str(space) in _RGB
    if not isinstance(space, pikepdf.Array) or not len(space):
        return False
    kind = str(space[0])
    if kind == "/ICCBased":
        return int(space[1].N) == 3
    if kind in ("/Indexed", "/Pattern") and len(space) > 1:
        return _is_rgb(space[1])
    return kind in _RGB
