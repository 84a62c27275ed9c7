"""Whether what a show hangs fits its walls.

In: the book. Out: mistakes (a work whose size nobody wrote down, a wall too full, a work higher
than its wall) and remarks (a work not yet finished without a size, an odd centre line, a lower edge
too near the floor, a room text that nobody reads to its end), each with the number that would be
right.
"""

from collections.abc import Iterator
from fractions import Fraction

from provenance.figures.hanging import (
    CENTRE_LINES,
    LEAST_FOOT,
    Work,
    hang,
    highest_middle,
    lowest_middle,
    to_millimetre,
)
from provenance.problems import Problem, Said
from provenance.records.book import Book
from provenance.records.shows import Show, Wall, page_named
from provenance.records.text import Written

MOST_WORDS = 100
NO_SIZE = "show_file.no_size"
Found = Iterator[Problem]
Hung = tuple[Written, Work]


def check_hanging(book: Book) -> Found:
    """Every wall of every show."""
    for show in book.shows.values():
        yield from _centre_line(show)
        yield from _wordy(book, show)
        for wall in show.walls:
            yield from _without_size(book, wall)
            if not wall.width:
                what = Said("show_file.no_width")
                yield Problem(wall.width.place, what, Said("show_file.write_width"))
                continue
            hung = list(sized(book, wall))
            yield from _too_full(wall, hung)
            for number, work in hung:
                yield from _too_high_or_low(show, wall, number, work)


def sized(book: Book, wall: Wall) -> Iterator[Hung]:
    """The works of a wall whose size is known, from the left, as they hang."""
    for number in wall.works:
        piece = book.pieces.get(number)
        if piece and piece.size:
            hook = Fraction(piece.hook or 0)
            yield number, Work(Fraction(piece.size.height), Fraction(piece.size.width), hook)


def _centre_line(show: Show) -> Found:
    """Middles stand between 140 and 160 cm; a wall of its own `eye` (an alcove, for children) is
    meant so."""
    least, most = CENTRE_LINES
    if show.centre_line and not least <= show.centre_line <= most:
        what = Said("show_file.centre_line", length=_cm(show.centre_line))
        remedy = Said("show_file.write_centre_line", least=_cm(least), most=_cm(most))
        yield Problem(show.centre_line.place, what, remedy, is_remark=True)


def _wordy(book: Book, show: Show) -> Found:
    """A text on a wall has at most 75 to 100 words (Smithsonian, Accessible Exhibition Design)."""
    page = book.pages.get(page_named(show.words)) if show.words else None
    count = len(page.text.split()) if page else 0
    if show.words and count > MOST_WORDS:
        what = Said("show_file.wordy", file=str(show.words), count=count)
        remedy = Said("show_file.fewer_words", most=MOST_WORDS)
        yield Problem(show.words.place, what, remedy, is_remark=True)


def _without_size(book: Book, wall: Wall) -> Found:
    """A mistake; of a work that is still being made a remark, as it has no size yet."""
    for number in wall.works:
        piece = book.pieces.get(number)
        if piece and piece.size is None:
            what = Said(NO_SIZE, number=str(number), title=str(piece.title))
            place = piece.record_place.file
            remedy = Said("show_file.write_size", file=place)
            yield Problem(number.place, what, remedy, is_remark=piece.is_draft)


def _too_full(wall: Wall, hung: list[Hung]) -> Found:
    hanging = hang(wall.width, [work for _, work in hung], Fraction(0), wall.gaps)
    if not hanging.missing:
        return
    told = {"missing": _cm(hanging.missing), "width": _cm(wall.width), "number": len(hung)}
    if wall.gaps and _widths(hung) <= wall.width:
        between = (wall.width - _widths(hung)) / (len(hung) + 1)
        remedy = Said("show_file.smaller_gaps", gap=_cm(between))
        yield Problem(wall.gaps[0].place, Said("show_file.gaps_too_wide", **told), remedy)
    else:
        named = {"name": str(wall.name)} if wall.name else {}
        what = Said("show_file.too_full_named" if named else "show_file.too_full", **told, **named)
        yield Problem(wall.width.place, what, Said("show_file.fewer_works"))


def _widths(hung: list[Hung]) -> Fraction:
    return sum((work.width for _, work in hung), Fraction(0))


def _too_high_or_low(show: Show, wall: Wall, number: Written, work: Work) -> Found:
    """A work that leaves its wall at the top or the floor; one that stands too near the floor."""
    centre, place = wall.middle(show.eye), number.place
    lower = centre - work.height / 2
    if wall.height and centre > highest_middle(wall.height, work):
        yield _above(wall.height, centre, number, work)
    elif lower < 0:
        told = {"number": str(number), "length": _cm(-lower)}
        yield Problem(place, Said("show_file.below_floor", **told), _eye(lowest_middle(work)))
    elif lower < LEAST_FOOT:
        yield _near_floor(lower, number, work)


def _above(height: Fraction, centre: Fraction, number: Written, work: Work) -> Problem:
    """A mistake: the work or its hook would be above the wall."""
    over = centre - highest_middle(height, work)
    told = {"number": str(number), "length": _cm(over), "height": _cm(height)}
    highest = highest_middle(height, work)
    fits = highest >= work.height / 2
    remedy = _eye(highest) if fits else Said("show_file.other_wall")
    return Problem(number.place, Said("show_file.above_wall", **told), remedy)


def _near_floor(lower: Fraction, number: Written, work: Work) -> Problem:
    told = {"number": str(number), "length": _cm(lower), "least": _cm(LEAST_FOOT)}
    what, remedy = Said("show_file.near_floor", **told), _eye(lowest_middle(work))
    return Problem(number.place, what, remedy, is_remark=True)


def _eye(height: Fraction) -> Said:
    return Said("show_file.write_eye", height=_cm(height))


def _cm(length: Fraction) -> Said:
    """A length in centimetres, to the millimetre."""
    number = Said("form.ungrouped", value=Fraction(to_millimetre(length)), places=1)
    return Said("show_file.cm", length=number)
