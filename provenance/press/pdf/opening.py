"""Finished papers opened to be changed, and saved again; large ones from path to path.

In: the bytes of a PDF, or where it lies. Out: pikepdf's document; its bytes, or a file. A paper
that comes from a path and goes to one is never held in memory as a whole. Equal papers give equal
bytes either way.
"""

import io
from pathlib import Path
from typing import Any


def opened(paper: bytes | Path) -> Any:
    """The document of a paper, to be used in a `with`."""
    import pikepdf

    return pikepdf.open(paper if isinstance(paper, Path) else io.BytesIO(paper))


def saved(document: Any, into: Path | None = None) -> bytes:
    """The bytes of a document; none where they go into a file."""
    import pikepdf

    content = io.BytesIO()
    streams = pikepdf.ObjectStreamMode.generate
    document.save(into or content, deterministic_id=True, object_stream_mode=streams)
    return content.getvalue()
