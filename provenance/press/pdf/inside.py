"""What travels inside a paper that came from anyone: its attachments.

In: the bytes of a PDF. Out: each attachment by its name, or a Slip where the file is damaged or
locked. Nothing is mended: a file that has to be mended to be read is not the one that was made.
"""

import io
import warnings
import zlib
from collections.abc import Sequence
from typing import Any

from provenance.problems import Said, Slip

MOST_BYTES = 200_000_000
_MOST_FILES = 20
_MOST_INSIDE = 20_000_000  # unpacked, as `templates/site/checking/pdf.js` has it
_BROKEN = (zlib.error, ValueError, KeyError, AttributeError, TypeError, RuntimeError)


def attachments_in(content: bytes) -> Sequence[tuple[str, bytes]]:
    """Name and bytes of every file in a PDF. Slip for what is no whole PDF."""
    import pikepdf

    if len(content) > MOST_BYTES:
        raise Slip(Said("seal.too_large"))
    try:
        with warnings.catch_warnings(), pikepdf.open(io.BytesIO(content)) as pdf:
            warnings.simplefilter("ignore")
            if pdf.is_encrypted:  # with no password to open it: others can't read what is inside
                raise Slip(Said("seal.locked_pdf"))
            if pdf.get_warnings():
                raise Slip(Said("seal.broken_pdf"))
            if len(_names(pdf)) > len(names := list(pdf.attachments)[:_MOST_FILES]):
                raise Slip(Said("seal.two_inside"))  # under one name, or more than anybody needs
            return [(name, _unpacked(pdf.attachments[name].get_file().obj)) for name in names]
    except pikepdf.PasswordError:
        raise Slip(Said("seal.locked_pdf")) from None
    except (pikepdf.PdfError, *_BROKEN):
        raise Slip(Said("seal.broken_pdf")) from None


def _unpacked(stream: Any) -> bytes:
    """What a file inside holds, never more than is let in: a few bytes may unpack to a whole disk.
    Packed otherwise than in one layer of deflate, it is none of ours."""
    import pikepdf

    raw, ways = bytes(stream.read_raw_bytes()), stream.get("/Filter")
    if ways is None:
        return raw
    names = [str(each) for each in ways] if isinstance(ways, pikepdf.Array) else [str(ways)]
    hints = stream.get("/DecodeParms")
    if names != ["/FlateDecode"] or (hints is not None and "/Predictor" in str(hints)):
        raise ValueError(names)
    reader = zlib.decompressobj()
    content = reader.decompress(raw, _MOST_INSIDE + 1)
    if len(content) > _MOST_INSIDE or not reader.eof:
        raise ValueError(len(content))
    return content


def _names(pdf: Any) -> list[str]:
    """The names of files as they are listed, each as often as it is; before anything else is asked
    for, which would put the list in order."""
    import pikepdf

    listed = pdf.Root.get("/Names", {}).get("/EmbeddedFiles")
    return [] if listed is None else [*pikepdf.NameTree(listed)]
