"""Files that come home from a stall: the lines as text, or a picture of the code they stood in.

In: paths, `-` for standard input. Out: the text of each, with the name it goes by.
"""

import sys
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from provenance.press.codes.photographed import codes_on
from provenance.problems import Said, Slip

_MOST = 1_000_000  # bytes of lines: a stall of ten thousand sales


def by_name(files: Sequence[Path]) -> dict[Path, str]:
    """Each file once, with what it is called: its name, or the way to it where two are alike."""
    once = dict.fromkeys(files)
    names = Counter(path.name for path in once)
    return {path: path.name if names[path.name] == 1 else str(path) for path in once}


def text_of(path: Path) -> str:
    """The lines of a file, of the codes on a picture, of standard input; Slip where there are
    none."""
    try:
        raw = sys.stdin.buffer.read() if str(path) == "-" else path.read_bytes()
    except OSError:
        raise _unread(path) from None
    try:
        text = raw[:_MOST].decode("utf-8-sig")
    except UnicodeDecodeError:
        text = "\n".join(_codes(path))
    if not text.strip():
        raise Slip(Said("sell_from.nothing", file=path.name), Said("sell_from.take_lines"))
    return text


def _codes(path: Path) -> list[str]:
    if str(path) == "-":
        raise _unread(path)
    found = codes_on(path)
    if not found:
        raise Slip(Said("sell_from.no_code", file=path.name), Said("sell_from.nearer"))
    return found


def _unread(path: Path) -> Slip:
    return Slip(Said("sell_from.unread", file=str(path)), Said("sell_from.take_lines"))
