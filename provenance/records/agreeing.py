"""A commission's text with what was agreed written into it, all else left as the maker wrote it.

In: the text of a commission and the words to add. Out: the new text, read again and compared, so
that nothing but `status` and `accepted` has changed. Comments, order, quotes and line ends stay.
Slip where that cannot be done safely: then the lines to add by hand are named.
"""

import re
from pathlib import Path

from provenance.problems import Problems, Said, Slip
from provenance.records.book import Book
from provenance.records.text import Fields
from provenance.records.yaml_file import read_text

_STATUS = re.compile(r"(?m)^(status[ ]*:)[ \t]*[^#\r\n]*?([ \t]*(?:#[^\r\n]*)?)(?=\r?$)")


def file_of(book: Book, number: str) -> Path:
    """The file a commission is written in."""
    return book.folder.parent / book.commissions[number].number.place.file


def text_of(path: Path) -> str:
    """The text of a record as it is, line ends and all."""
    return path.read_bytes().decode("utf-8")


def with_agreement(text: str, accepted: str) -> str:
    """The text with `status: accepted` and a line `accepted: {...}`; Slip if they won't go in."""
    end = "\r\n" if "\r\n" in text else "\n"
    text = text if text.endswith(("\n", "\r")) else text + end
    before = _fields(text)
    by_hand = Said("agreed.by_hand", accepted=accepted)
    if before is None or text.lstrip("\ufeff").lstrip().startswith("{"):
        raise Slip(Said("agreed.no_lines"), by_hand)
    if "accepted" in before:
        raise Slip(Said("agreed.already"), Said("agreed.take_away"))
    changed = _STATUS.sub(r"\1 accepted\2", text, count=1) if "status" in before else text
    added = [] if "status" in before else ["status: accepted"]
    changed += "".join(line + end for line in [*added, f"accepted: {accepted}"])
    after = _fields(changed)
    if not after or not after.pop("accepted", "") or after != {**before, "status": "accepted"}:
        raise Slip(Said("agreed.not_safely"), by_hand)
    return changed


def _fields(text: str) -> Fields | None:
    found = read_text(text.encode("utf-8"), "", Problems())
    return found if isinstance(found, Fields) else None
