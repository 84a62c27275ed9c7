"""What all sheets for an outlet share: its pieces in public facts, and one style of page.

In: the public studio, an outlet and the pieces that are there. Out: `Paper`s (file name, bytes,
what it is), set by `sheet_pdf`. Words and prices come from the public facts of a piece, so that
they are the same on tag, sheet and page. A name that starts with "private-" is for the maker alone.
"""

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from provenance.language.phrases import Phrases
from provenance.papers.format import format_for
from provenance.press.codes.qr import Code
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.pdf.render import render_pdf
from provenance.press.pictures.photos import for_print, open_photo
from provenance.press.templates import render, source
from provenance.problems import Slip
from provenance.public.outlet import PublicOutlet
from provenance.public.piece import PublicPiece
from provenance.public.studio import PublicStudio

_STRIP_MM = (16.0, 3.2)
_BESIDE_MM = 8.0
_LONG_WORD = 18  # letters; a longer word may be broken anywhere, so that no column grows with it
PRIVATE = "private-"


@dataclass(frozen=True, slots=True)
class Paper:
    """One finished file: its name under papers/OUTLET/, its bytes, what it is in words."""

    name: str
    content: bytes
    about: str = ""


@dataclass(frozen=True)
class Display:
    """What hangs at an outlet, and the words and forms of its sheets.

    `slips` gathers photos that can't be shown: number of the piece, file, why.
    """

    studio: PublicStudio
    outlet: PublicOutlet
    pieces: tuple[PublicPiece, ...]
    slips: list[tuple[str, str, Slip]] = field(default_factory=list)

    @property
    def phrases(self) -> Phrases:
        """The words of the outlet's language."""
        return self.studio.phrases

    def say(self, name: str, **values: Any) -> str:
        """A phrase of the sheets."""
        return self.phrases.say(f"sheet.{name}", **values)

    def heads(self, words: Sequence[str]) -> list[str]:
        """Headings of a CSV file."""
        return [self.phrases.say(f"csv.{word}") for word in words]

    @property
    def count(self) -> str:
        """How many pieces, in words: 1 piece, 12 pieces."""
        return counted(self.phrases, len(self.pieces))


def counted(phrases: Phrases, number: int) -> str:
    """A number of pieces in words."""
    return phrases.say("sheet.one_piece" if number == 1 else "sheet.some_pieces", number=number)


@dataclass(frozen=True, slots=True)
class Page:
    """A page to be set: its template, title and values; `keep` for papers that are filed."""

    template: str
    title: str
    values: Mapping[str, Any]
    keep: bool = False
    assets: Mapping[str, bytes | Code] = field(default_factory=dict)


def sheet_pdf(studio: PublicStudio, page: Page, pieces: Sequence[PublicPiece] = ()) -> bytes:
    """The PDF of a page; selvedges of the pieces lie ready as `strip-NUMBER.svg`."""
    sheet, phrases = format_for(studio), studio.phrases
    context = {
        "language": phrases.language,
        "sheet": sheet.name,
        "black": sheet.is_black,
        "title": page.title,
        "studio": studio.name,
        "maker": studio.maker,
        "place": studio.place,
        "printed": phrases.day(studio.today),
        "loose": any(len(word) > _LONG_WORD for each in pieces for word in _words_of(each)),
        "say": lambda name, **values: phrases.say(f"sheet.{name}", **values),
        "label": lambda name: phrases.say(f"label.{name}"),
        "inside": phrases.inside,
        **page.values,
    }
    html = render(f"sheets/{page.template}.html", context, studio.templates)
    assets = {**page.assets, "sheet.css": source("sheets/sheet.css", studio.templates)}
    for each in pieces:
        assets[f"strip-{each.number}.svg"] = strip(each, black=sheet.is_black)
    return render_pdf(
        html,
        assets,
        archival=page.keep,
        identifier=hashlib.sha256(html.encode()).digest(),
        created=studio.today,
    )


def _words_of(piece: PublicPiece) -> list[str]:
    return f"{piece.title} {piece.number} {piece.structure}".split()


def strip(piece: PublicPiece, *, black: bool) -> bytes:
    """The selvedge as a small bar beside a name."""
    return bar_svg(piece.stripes, *_STRIP_MM, upright=False, black=black).encode()


def price_of(piece: PublicPiece) -> Fraction:
    """The price of a piece that has one."""
    assert piece.amount is not None, "only pieces with a price come onto sheets"
    return piece.amount


def whole_view(
    display: Display,
    piece: PublicPiece,
    box_mm: tuple[float, float],
    assets: dict[str, bytes | Code],
) -> dict[str, str] | None:
    """The whole view of a piece within a box, put among the assets; None when there is none.

    A photo that can't be read leaves its place empty and is told among the slips.
    """
    whole = next((photo for photo in piece.photos if photo.view == "whole"), None)
    if whole is None:
        return None
    try:
        photo = open_photo(display.studio.folder, whole.path)
        width = min(box_mm[0], box_mm[1] * photo.width / photo.height)
        black = format_for(display.studio).is_black
        content = for_print(photo, width, dpi=220, grey=black)
    except Slip as slip:
        display.slips.append((piece.number, whole.file, slip))
        return None
    name = f"photo-{piece.number}.jpg"
    assets[name] = content
    return {
        "file": name,
        "width": f"{width:.2f}",
        "room": f"{width + _BESIDE_MM:.2f}",
        "alt": whole.alt or piece.title,
    }
