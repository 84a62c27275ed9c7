"""The words of a show: its room text for the wall, and all its words in large print.

In: a show with its room text, its works in hanging order. Out: a panel of A3 (Tabloid where paper
is Letter); a guide in large letters. The panel's letters are as large as let its text stand on one
sheet, from 40 points to 24: capitals of 9.5 to 5.7 mm, read from 1.9 to 1.1 m (a two-hundredth of
the distance at least: from memory); printed on A4, at 70 %, the smallest have 17 points. Lines of
at most 55 characters, from the left, no italics (Smithsonian, Accessible Exhibition Design). Large
print: 20 points, the same words in the same order, one column, no hyphens, large page numbers
(RNIB, clear print; 16 points and more is named in Text Matters' notes).
"""

import re
from collections.abc import Iterator
from fractions import Fraction

from provenance.papers.format import format_for
from provenance.papers.sheets.frame import Paper, Slips
from provenance.papers.shows.labels import label_words
from provenance.papers.shows.room import Room
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.letters.faces import SERIF
from provenance.press.letters.measure import POINT, lines_of
from provenance.press.markup import to_html, to_plain
from provenance.public.edge import Stripe
from provenance.public.piece import PublicPiece
from provenance.public.show import PublicShow
from provenance.public.studio import PublicStudio

PANELS = {"A4": (297.0, 420.0), "Letter": (279.4, 431.8)}  # the panel beside each paper, in mm
_LARGEST, _SMALLEST = 40, 24
_SIDES_MM, _ROOM_MM = 92.0, 240.0  # left and right of the text; what is left of the height for it
_LINE, _PARAGRAPH = Fraction("1.42"), Fraction("0.7")  # in letters
_CHARACTERS = Fraction("21.5")  # width of a column, in letters: under 55 characters
_BAR_MM = 14.0


def room_text(
    studio: PublicStudio, show: PublicShow, pieces: tuple[PublicPiece, ...], slips: Slips
) -> list[Paper]:
    """The panel beside the door, with the edges of all works as they hang; none where the show has
    no words."""
    if not show.words.strip():
        return []
    room, form = Room(studio, pieces, show, slips=slips), format_for(studio)
    width, height = PANELS[form.name]
    size = letters_for(show.words, width - _SIDES_MM)
    values = {
        "sheet": f"{width}mm {height}mm",
        "size": size,
        "column": f"{float(_column(size, width - _SIDES_MM)):.1f}mm",
        "heading": show.words_title or show.title,
        "text": to_html(show.words),
    }
    bar = bar_svg(_edges(pieces), _BAR_MM, height, upright=True, black=form.is_black)
    page = room.page("room_text", room.told("room_text"), values, assets={"edge.svg": bar})
    return room.papers(page)


def letters_for(words: str, room_mm: float) -> int:
    """The largest letters, in points, in which a text stands on one panel; 24 when in none."""
    return next(
        (
            size
            for size in range(_LARGEST, _SMALLEST, -2)
            if _height(words, size, room_mm) < _ROOM_MM
        ),
        _SMALLEST,
    )


def _height(words: str, size: int, room_mm: float) -> float:
    """How high a text stands, in mm."""
    column = _column(size, room_mm)
    paragraphs = [to_plain(each) for each in re.split(r"\n\s*\n", words) if each.strip()]
    lines = sum(len(lines_of(each, (SERIF, 400), Fraction(size), column)) for each in paragraphs)
    return float((lines * _LINE + len(paragraphs) * _PARAGRAPH) * size * POINT)


def _column(size: int, room_mm: float) -> Fraction:
    return min(Fraction(room_mm), _CHARACTERS * size * POINT)


def _edges(pieces: tuple[PublicPiece, ...]) -> tuple[Stripe, ...]:
    """The edges of all works one below another, each with the same share."""
    shown = [each.stripes for each in pieces if each.stripes]
    return tuple(_within(shown))


def _within(shown: list[tuple[Stripe, ...]]) -> Iterator[Stripe]:
    for turn, stripes in enumerate(shown):
        for each in stripes:
            start, end = ((turn + at) / len(shown) for at in (each.start, each.end))
            yield Stripe(each.colour, start, end)


def large_print(
    studio: PublicStudio, show: PublicShow, pieces: tuple[PublicPiece, ...], slips: Slips
) -> list[Paper]:
    """The room text and every label, in the order of the walls."""
    room = Room(studio, pieces, show, slips=slips)
    values = {
        "heading": show.words_title if show.words_title != show.title else "",
        "text": to_html(show.words, demote_headings=2) if show.words.strip() else "",
        "order": studio.phrases.say("exhibition.large_order", number=len(pieces)),
        "labels": {e.number: label_words(room, e, prices=show.shows_prices) for e in pieces},
    }
    return room.papers(room.page("large_print", room.told("large_print"), values))
