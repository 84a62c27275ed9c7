"""Which tags are out of date, and why: what was printed last against what would be printed now.

In: the border (its studio holds `printed.yaml`). Out: number and reason for each tag to be printed
again, and the line that notes a printed tag. No PDF library is needed for it.
"""

from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass
from datetime import date

from provenance.papers.tags.words import TagWords, lacking, tag_words
from provenance.press.codes.qr import address_of
from provenance.problems import SILENCE, Said, chained
from provenance.public.border import Border
from provenance.records.book import Book
from provenance.records.lots import Outlet
from provenance.records.pieces import FOR_SALE, Piece
from provenance.records.printed import Printed, printed_line
from provenance.studio import Studio

PAPER = "tag"


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
        fields = {word: said or None for word, said in asdict(self).items()}
        return printed_line({"on": on, "paper": PAPER, **fields})


def tags_due(border: Border, numbers: Iterable[str] = ()) -> Iterator[tuple[str, Said]]:
    """Number of every tag that differs from the one printed last, or was never printed; and why.
    Of all pieces, or of these."""
    book = border.studio.book
    for piece in [book.pieces[number] for number in tuple(numbers) or book.pieces]:
        if not reason_against(book, piece):
            found = (_why(border, piece, outlet) for outlet, _ in places_of(book, piece))
            if why := next(filter(None, found), SILENCE):
                yield str(piece.number), why


def _why(border: Border, piece: Piece, outlet: Outlet | None) -> Said:
    """Why the tag of a piece at one place is due; silence when it has none there."""
    if reason_against(border.studio.book, piece, outlet):
        return SILENCE
    note = note_at(border, piece, outlet)
    return why_due(border.studio, note) if isinstance(note, Note) else SILENCE


def note_at(border: Border, piece: Piece, outlet: Outlet | None) -> Note | tuple[str, ...]:
    """What would be noted of a tag at one place, or the fields that it lacks."""

    def work() -> Note | tuple[str, ...]:
        words = words_for(border, piece, outlet)
        return tuple(lacking(words)) or note_of(border, words)

    return border.once(f"note {outlet.name if outlet else ''}", str(piece.number), work)


def words_for(border: Border, piece: Piece, outlet: Outlet | None) -> TagWords:
    """The words of a piece's tag as an outlet wants it, in the outlet's language."""
    there = border.speaking(outlet)
    facts = there.piece(str(piece.number))
    return tag_words(facts, there.house, there.outlet(str(outlet.name)) if outlet else None)


def outlet_of(book: Book, piece: Piece) -> Outlet | None:
    """Where the piece is shown."""
    return book.outlets.get(str(piece.at)) if piece.at else None


def places_of(book: Book, piece: Piece) -> tuple[tuple[Outlet | None, int], ...]:
    """Where the things of a piece that are left hang, and how many; a single one in one place."""
    if piece.made == 1:
        return ((outlet_of(book, piece), 1),)
    there = ((book.outlets.get(name), count) for name, count in piece.standing.items())
    return tuple(there) or ((outlet_of(book, piece), 0),)


def reason_against(
    book: Book, piece: Piece, there: Outlet | None = None, *, is_asked: bool = False
) -> Said:
    """Why a piece has no tag (`there`, else where it is first shown); silence when it has one.
    Being asked for by number helps some."""
    outlet, state = there or outlet_of(book, piece), piece.state
    if piece.at and book.is_broken(piece.at, "outlets"):
        return Said("no_tag.broken", name=str(piece.at))
    if state in ("sold", "withdrawn", "in progress"):
        return Said(f"no_tag.{state.replace(' ', '_')}")
    if state not in FOR_SALE and not is_asked:
        return Said("no_tag.not_asked", state=state)
    if outlet and outlet.tag_kind == "none":
        return Said("no_tag.outlet", outlet=str(outlet.name))
    if piece.price is None and not piece.can_be_costed and state in FOR_SALE:
        return Said("no_tag.no_price")
    return SILENCE


def note_of(border: Border, words: TagWords) -> Note:
    """What would be noted of a tag; the address only where the tag carries it."""
    site = border.house.site
    address = address_of(site, words.number) if words.has_code and site else ""
    title = str(border.studio.book.pieces[words.number].title)
    return Note(words.number, title, address, words.price, words.digest)


def why_due(studio: Studio, note: Note) -> Said:
    """Why a tag is out of date; silence when it says what the one printed last said, or, of a set
    at several places, what one of the last said."""
    printed, piece = studio.printed(PAPER, note.number), studio.book.pieces[note.number]
    if not printed:
        return Said("tag_due.new")
    last = [tuple(_changes(note, line)) for line in printed[-max(len(piece.standing), 1) :]]
    return chained("tag_due.both", last[-1]) if all(last) else SILENCE


def _changes(note: Note, last: Printed) -> Iterator[Said]:
    price, address = str(last.price or ""), str(last.address or "")
    if price != note.price:
        yield Said("tag_due.price", old=_or(price, "not_on_it"), new=_or(note.price, "left_off"))
    if last.title and str(last.title) != note.title:
        yield Said("tag_due.title", old=str(last.title), new=note.title)
    if address != note.address:
        old, new = _or(address, "not_on_it"), _or(note.address, "left_off")
        yield Said("tag_due.address", old=old, new=new)
    elif str(last.digest) != note.digest and last.title in (None, note.title):
        yield Said("tag_due.words")


def _or(text: str, word: str) -> Said | str:
    return text or Said(f"tag_due.{word}")


def note_lines(studio: Studio, notes: Iterable[Note]) -> str:
    """Lines for printed.yaml; a tag that says what the last one said needs no new line."""
    due = (each for each in notes if why_due(studio, each))
    return "".join(each.line(studio.not_before(PAPER, each.number)) for each in due)
