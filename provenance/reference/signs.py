"""Signs that nobody sees and that change what is seen: controls, turns of direction, no width.

In: text. Out: where such a sign stands without a reason; the same text with each of them shown as
its code, so that it can't command a terminal, turn a line round, or make two names look alike.
A joiner has its reason inside an emoji and beside a letter of a script that joins or is written
from right to left; marks of direction only beside the latter. Classes after the Unicode Character
Database (Python's), UAX #9 and UTR #36; which are let by is ours.
"""

import re
import unicodedata
from collections.abc import Iterator

_UNSEEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f"
    "\ud800-\udfff\ufeff\ufff9-\ufffb\ufffe\uffff\U000e0000-\U000e007f]"
)
_BREAKS = re.compile("[\t\n]")
_JOINERS = "\u200b\u200c\u200d\u2060"
_DIRECTIONS = "\u061c\u200e\u200f"
_BLACK_FLAG, _FIRST_TAG, _LAST_TAG = "\U0001f3f4", "\U000e0020", "\U000e007f"


def first_unseen(text: str) -> int | None:
    """Where the first sign stands that nobody sees and nothing there needs; None where none is."""
    return next(_unseen(text), None)


def visible(text: str, *, every: bool = False) -> str:
    """Text to be shown: ‹U+202E› for such a sign; for `every` one, breaks of lines and tabs too."""
    found = set(_unseen(text))
    if every:
        found.update(each.start() for each in _BREAKS.finditer(text))
    if not found:
        return text
    return "".join(code(sign) if turn in found else sign for turn, sign in enumerate(text))


def code(sign: str) -> str:
    """How a sign that can't be seen is shown."""
    return f"‹U+{ord(sign):04X}›"


def _unseen(text: str) -> Iterator[int]:
    for found in _UNSEEN.finditer(text):
        start, end = found.span()
        if not _has_reason(found[0], text[max(start - 1, 0) : start], text[end : end + 1]):
            yield start


def _has_reason(sign: str, before: str, after: str) -> bool:
    if _FIRST_TAG <= sign <= _LAST_TAG:  # the flags of England, Scotland and Wales
        return before == _BLACK_FLAG or _FIRST_TAG <= before <= _LAST_TAG
    if sign == "\u200d" and _is_emoji(before) and _is_emoji(after):
        return True
    if sign in _JOINERS:
        return _joins(before) or _joins(after)
    return sign in _DIRECTIONS and (_runs_left(before) or _runs_left(after))


def _is_emoji(sign: str) -> bool:
    return bool(sign) and (sign == "\ufe0f" or unicodedata.category(sign) in ("So", "Sk"))


def _runs_left(sign: str) -> bool:
    return bool(sign) and unicodedata.bidirectional(sign) in ("R", "AL")


def _joins(sign: str) -> bool:
    """A letter or mark of Arabic, the Indic scripts, Thai, Khmer, Mongolian ..."""
    is_letter = bool(sign) and unicodedata.category(sign)[0] in "LM"
    return is_letter and ("\u0590" <= sign < "\u1d00" or _runs_left(sign))
