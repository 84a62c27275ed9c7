"""What all sheets for an outlet share: its pieces in public facts, and one style of page.

In: the public studio, an outlet and the pieces that are there. Out: `Paper`s (file name, bytes,
what it is). Templates read the public facts of the pieces themselves, so that words and prices are
the same on tag, sheet and page. A name that starts with "private-" is for the maker alone.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from provenance.language.phrases import Phrases
from provenance.papers.format import format_for
from provenance.papers.sheets.spreadsheet import csv_file
from provenance.press.codes.qr import Code
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.pdf.files import Waiting
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
Slips = list[tuple[str, str, Slip]]  # photos that can't be shown: number of the piece, file, why


@dataclass(frozen=True, slots=True)
class Paper:
    """One finished file: its name under papers/OUTLET/, its bytes, what it is in words. A large one
    has no bytes here, but is `waiting` on disk."""

    name: str
    content: bytes
    about: str = ""
    waiting: Waiting | None = None


@dataclass(frozen=True, slots=True)
class Page:
    """A page to be set: its name, title and values.

    Its template is called as the page is, unless another is named, and lies in `folder`.
    """

    name: str
    title: str
    values: Mapping[str, Any]
    assets: Mapping[str, bytes | Code] = field(default_factory=dict)
    template: str = ""
    folder: str = "sheets"


@dataclass(frozen=True)
class Sheets:
    """The pieces that sheets are about, and the words and forms they are told in; `slips` gathers
    photos that can't be shown."""

    studio: PublicStudio
    pieces: tuple[PublicPiece, ...]
    slips: Slips = field(default_factory=list, kw_only=True)

    @property
    def phrases(self) -> Phrases:
        """The words of the language they are in."""
        return self.studio.phrases

    def say(self, name: str, **values: Any) -> str:
        """A phrase of the sheets."""
        return self.phrases.say(f"sheet.{name}", **values)

    def papers(
        self, page: Page, columns: Sequence[str] = (), rows: Iterable[Sequence[str]] = ()
    ) -> list[Paper]:
        """The page as PDF and, where there are columns, the CSV file beside it."""
        name = page.name.replace("_", "-")
        papers = [Paper(f"{name}.pdf", sheet_pdf(self.studio, page, self.pieces), page.title)]
        if columns:
            heads = [self.phrases.say(f"csv.{word}") for word in columns]
            papers.append(Paper(f"{name}.csv", csv_file(heads, rows, comma=self.phrases.has_comma)))
        return papers


@dataclass(frozen=True)
class Display(Sheets):
    """What hangs at an outlet. `items` is how many of each piece hang there, by number: one, where
    it tells nothing."""

    outlet: PublicOutlet
    items: Mapping[str, int] = field(default_factory=dict)

    @property
    def count(self) -> str:
        """How many pieces, in words: 1 piece, 12 pieces."""
        return counted(self.phrases, sum(map(self.number, self.pieces)))

    def number(self, piece: PublicPiece) -> int:
        """How many of a piece hang there: of a set, perhaps several."""
        return self.items.get(piece.number, 1)

    @property
    def things(self) -> tuple[PublicPiece, ...]:
        """Every single thing that hangs there: the pieces, each of a set by itself."""
        return tuple(each for each in self.pieces for _ in range(self.number(each)))

    def page(self, name: str, values: Mapping[str, Any], **how: Any) -> Page:
        """A page about the outlet; its title is the phrase of that name, `how` as in `Page`."""
        where = self.outlet.where_and_when
        shared = {"outlet": self.outlet.title, "where": where, "count": self.count,
                  "items": self.items}  # fmt: skip
        return Page(name, self.say(name), {**shared, **values}, **how)


def counted(phrases: Phrases, number: int) -> str:
    """A number of pieces in words."""
    return phrases.say("sheet.one_piece" if number == 1 else "sheet.some_pieces", number=number)


def sheet_pdf(studio: PublicStudio, page: Page, pieces: Sequence[PublicPiece] = ()) -> bytes:
    """The PDF of a page about some pieces; their selvedges lie ready as `strip-NUMBER.svg`."""
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
        "pieces": pieces,
        "say": lambda name, **values: phrases.say(f"sheet.{name}", **values),
        "label": lambda name: phrases.say(f"label.{name}"),
        "inside": phrases.inside,
        "items": {},
        **page.values,
    }
    html = render(f"{page.folder}/{page.template or page.name}.html", context, studio.templates)
    styles = {"sheet.css": "sheets/sheet.css", "show.css": "shows/show.css"}
    found = {name: source(path, studio.templates) for name, path in styles.items()}
    assets = {**page.assets, **found}
    for each in pieces:
        strip = bar_svg(each.stripes, *_STRIP_MM, upright=False, black=sheet.is_black)
        assets[f"strip-{each.number}.svg"] = strip
    return render_pdf(html, assets, archival=True, created=studio.today)


def _words_of(piece: PublicPiece) -> list[str]:
    return f"{piece.title} {piece.number} {piece.structure}".split()


def price_of(piece: PublicPiece) -> Fraction:
    """The price of a piece that has one."""
    assert piece.amount is not None, "only pieces with a price come onto sheets"
    return piece.amount


def whole_view(
    sheets: Sheets,
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
        photo = open_photo(sheets.studio.folder, whole.path)
        width = min(box_mm[0], box_mm[1] * photo.width / photo.height)
        black = format_for(sheets.studio).is_black
        content = for_print(photo, width, dpi=220, grey=black)
    except Slip as slip:
        sheets.slips.append((piece.number, whole.file, slip))
        return None
    name = f"photo-{piece.number}.jpg"
    assets[name] = content
    sides = {"width": f"{width:.2f}", "room": f"{width + _BESIDE_MM:.2f}"}
    return {"file": name, "alt": whole.alt or piece.title, **sides}
