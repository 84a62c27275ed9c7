"""Which tags are out of date, and why: what was printed last against what would be printed now.

In: the setting (its book holds `printed.yaml`). Out: one `Due` for each tag to be printed again,
and the line that notes a printed tag. No PDF library is needed for it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from provenance.papers.tags.words import TagWords, lacking, tag_words
from provenance.press.codes.qr import address_of
from provenance.public.facts import facts_of
from provenance.public.setting import Setting
from provenance.records.book import Book
from provenance.records.lots import Outlet
from provenance.records.pieces import Piece
from provenance.records.printed import Printed, printed_line

PAPER = "tag"
SHOWN = ("available", "reserved")


@dataclass(frozen=True, slots=True)
class Due:
    """A tag to be printed again, or for the first time, and why."""

    number: str
    title: str
    why: str
    is_new: bool


@dataclass(frozen=True, slots=True)
class Note:
    """What printed.yaml keeps of a tag."""

    number: str
    title: str
    address: str
    price: str
    digest: str

    def line(self, on: date) -> str:
        """As a line of printed.yaml."""
        fields = {"on": on, "paper": PAPER, "number": self.number, "title": self.title}
        fields |= {"address": self.address} if self.address else {}
        fields |= {"price": self.price} if self.price else {}
        return printed_line({**fields, "digest": self.digest})


def tags_due(setting: Setting) -> tuple[Due, ...]:
    """Every tag that differs from the one printed last, or was never printed, with the reason."""
    last = last_printed(setting.book)
    found = []
    for piece in setting.book.pieces.values():
        if reason_against(setting.book, piece):
            continue
        words = words_for(setting, piece, outlet_of(setting.book, piece))
        why = "" if lacking(words) else why_due(note_of(setting, words), last.get(words.number))
        if why:
            number = str(piece.number)
            found.append(Due(number, str(piece.title), why, is_new=number not in last))
    return tuple(found)


def words_for(setting: Setting, piece: Piece, outlet: Outlet | None) -> TagWords:
    """The words of a piece's tag as an outlet wants it."""
    return tag_words(facts_of(setting, piece), setting.book.studio, setting.phrases, outlet)


def outlet_of(book: Book, piece: Piece) -> Outlet | None:
    """Where the piece is shown."""
    return book.outlets.get(str(piece.at)) if piece.at else None


def reason_against(book: Book, piece: Piece, *, is_asked: bool = False) -> str:
    """Why a piece has no tag; '' when it has one. Being asked for by number helps some."""
    outlet = outlet_of(book, piece)
    if piece.at and book.is_broken(piece.at, "outlets"):
        return f"the record of {piece.at} can't be read"
    if piece.state == "sold":
        return "sold"
    if piece.state == "withdrawn":
        return "withdrawn"
    if piece.state == "in progress":
        return "still being made"
    if piece.state not in SHOWN and not is_asked:
        return f"{piece.state}; name its number to print one"
    if outlet and outlet.tag_kind == "none":
        return f"{outlet.name} wants no tags"
    if piece.price is None and not piece.can_be_costed and piece.state in SHOWN:
        return "has no price yet"
    return ""


def note_of(setting: Setting, words: TagWords) -> Note:
    """What would be noted of a tag; the address only where the tag carries it."""
    site = str(setting.book.studio.site or "")
    address = address_of(site, words.number) if words.has_code and site else ""
    title = str(setting.book.pieces[words.number].title)
    return Note(words.number, title, address, words.price, words.digest)


def last_printed(book: Book) -> dict[str, Printed]:
    """The last line for a tag of each number."""
    return {str(line.number): line for line in book.printed if line.paper == PAPER}


def why_due(note: Note, last: Printed | None) -> str:
    """Why a tag is out of date; '' when it is not."""
    if last is None:
        return "not printed yet"
    return "; ".join(_changes(note, last))


def _changes(note: Note, last: Printed) -> Iterator[str]:
    price, address = str(last.price or ""), str(last.address or "")
    if price != note.price:
        yield f"price was {price or 'not on it'}, is {note.price or 'left off'}"
    if str(last.title) != note.title:
        yield f"title was {last.title}, is {note.title}"
    if address != note.address:
        yield f"address was {address or 'not on it'}, is {note.address or 'left off'}"
    elif str(last.digest) != note.digest and str(last.title) == note.title:
        yield "its words have changed"
