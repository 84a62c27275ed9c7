"""What travels inside a paper that came from anyone: its attachments.

In: the bytes of a PDF. Out: each attachment by its name, or a Slip where the file is damaged or
locked. Nothing is mended: a file that has to be mended to be read is not the one that was made.
"""

import io
import warnings
from collections.abc import Sequence
from typing import Any

from provenance.problems import Said, Slip

MOST_BYTES = 200_000_000
_MOST_FILES = 20


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
            return [(name, pdf.attachments[name].get_file().read_bytes()) for name in names]
    except pikepdf.PasswordError:
        raise Slip(Said("seal.locked_pdf")) from None
    except (pikepdf.PdfError, ValueError, KeyError, AttributeError):
        raise Slip(Said("seal.broken_pdf")) from None


def _names(pdf: Any) -> list[str]:
    """The names of files as they are listed, each as often as it is; before anything else is asked
    for, which would put the list in order."""
    import pikepdf

    listed = pdf.Root.get("/Names", {}).get("/EmbeddedFiles")
    return [] if listed is None else [*pikepdf.NameTree(listed)]
