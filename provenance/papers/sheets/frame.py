"""What all sheets for an outlet share: pieces with their facts and figures, and one style of page.

In: the setting, an outlet and the pieces that are there. Out: `Sheet`s (file name, bytes, what it
is), set by `sheet_pdf`. Words come from the public facts of a piece, sums from its cost sheet, so
that a number and a price are the same on tag, sheet and page. A name that starts with "private-"
is for the maker alone.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from provenance.figures.money.cost import CostSheet, cost_sheet
from provenance.figures.working import Figure, half_up, rounded, total
from provenance.papers.certificates.page import sheet_for
from provenance.press.codes.qr import Code
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.pdf.render import render_pdf
from provenance.press.pictures.photos import for_print, open_photo
from provenance.press.templates import render, source
from provenance.problems import SILENCE, Problems, Slip
from provenance.public.facts import PieceFacts, facts_of
from provenance.public.setting import Setting, outlet_title
from provenance.records.checks_photos import photo_path
from provenance.records.lots import Outlet
from provenance.records.pieces import Piece
from provenance.reference.currencies import minor_unit

_STRIP_MM = (16.0, 3.2)
_BESIDE_MM = 8.0
_LONG_WORD = 18  # letters; a longer word may be broken anywhere, so that no column grows with it
PRIVATE = "private-"


@dataclass(frozen=True, slots=True)
class Sheet:
    """One finished file: its name under papers/OUTLET/, its bytes, what it is in words."""

    name: str
    content: bytes
    about: str = ""


@dataclass(frozen=True, slots=True)
class Held:
    """A piece at an outlet: its public facts and its cost sheet."""

    piece: Piece
    facts: PieceFacts
    cost: CostSheet

    @property
    def for_sale(self) -> bool:
        """Whether it has a price for buyers."""
        return self.piece.state in ("available", "reserved")


@dataclass(frozen=True)
class Papers:
    """What the papers of one outlet are written from."""

    setting: Setting
    outlet: Outlet
    pieces: tuple[Held, ...]
    problems: Problems = field(default_factory=Problems)

    @property
    def minor(self) -> int:
        """Decimal places of the studio's currency."""
        return minor_unit(self.setting.book.studio.currency)

    @property
    def title(self) -> str:
        """The outlet's name."""
        return outlet_title(self.outlet)

    def money(self, figure: Figure) -> str:
        """Money with its sign, as on tags and pages: whole amounts without decimals."""
        return self.setting.phrases.money(figure.value)

    def column(self, figures: Sequence[Figure]) -> list[str]:
        """A column of money: all whole, or all with decimals, so that it can be read down."""
        amounts = [half_up(figure.value, self.minor) for figure in figures]
        exact = any(amount != amount.to_integral_value() for amount in amounts)
        return [self.setting.phrases.money(amount, exact=exact) for amount in amounts]

    def exact(self, figure: Figure) -> str:
        """Money with its decimals, even when they are noughts."""
        return self.setting.phrases.money(figure.value, exact=True)

    def cell(self, figure: Figure) -> str:
        """Money for a spreadsheet: a decimal string."""
        return str(half_up(figure.value, self.minor))

    def say(self, name: str, **values: Any) -> str:
        """A phrase of the sheets."""
        return self.setting.phrases.say(f"sheet.{name}", **values)

    @property
    def currency(self) -> str:
        """The studio's currency, as its code."""
        return str(self.setting.book.studio.currency)

    @property
    def count(self) -> str:
        """How many pieces, in words: 1 piece, 12 pieces."""
        return self.counted(len(self.pieces))

    def counted(self, number: int) -> str:
        """A number of pieces in words."""
        return self.say("one_piece" if number == 1 else "some_pieces", number=number)

    @property
    def days(self) -> str:
        """When it is, in words; nothing for an outlet that is always there."""
        span = self.outlet.dates
        return self.setting.phrases.days(span.first, span.last) if span else ""

    @property
    def where_and_when(self) -> str:
        """Place and days in one line."""
        return ", ".join(part for part in (str(self.outlet.place or ""), self.days) if part)


def held(setting: Setting, piece: Piece) -> Held:
    """A piece that can be put on a sheet. Slip for what nobody can know of it."""
    return Held(piece, facts_of(setting, piece), cost_sheet(setting.book, setting.flow, piece))


@dataclass(frozen=True, slots=True)
class Page:
    """A page to be set: its template, title and values; `keep` for papers that are filed."""

    template: str
    title: str
    values: Mapping[str, Any]
    keep: bool = False
    assets: Mapping[str, bytes | Code] = field(default_factory=dict)


def sheet_pdf(setting: Setting, page: Page, pieces: Sequence[Held] = ()) -> bytes:
    """The PDF of a page; selvedges of the pieces lie ready as `strip-NUMBER.svg`."""
    sheet = sheet_for(setting)
    studio, phrases = setting.book.studio, setting.phrases
    context = {
        "language": phrases.language,
        "sheet": sheet.name,
        "black": sheet.is_black,
        "title": page.title,
        "studio": str(studio.studio),
        "maker": str(studio.maker),
        "place": str(studio.place or ""),
        "printed": phrases.day(setting.today),
        "loose": any(len(word) > _LONG_WORD for each in pieces for word in _words_of(each)),
        "say": lambda name, **values: phrases.say(f"sheet.{name}", **values),
        "label": lambda name: phrases.say(f"label.{name}"),
        **page.values,
    }
    html = render(f"sheets/{page.template}.html", context, setting.templates)
    assets = {**page.assets, "sheet.css": source("sheets/sheet.css", setting.templates)}
    assets |= {
        f"strip-{each.facts.number}.svg": strip(each.facts, black=sheet.is_black) for each in pieces
    }
    return render_pdf(
        html,
        assets,
        archival=page.keep,
        identifier=hashlib.sha256(html.encode()).digest(),
        created=setting.today,
    )


def _words_of(each: Held) -> list[str]:
    return f"{each.facts.title} {each.facts.number} {each.facts.structure}".split()


def strip(facts: PieceFacts, *, black: bool) -> bytes:
    """The selvedge as a small bar beside a name."""
    return bar_svg(facts.stripes, *_STRIP_MM, upright=False, black=black).encode()


def price_of(each: Held) -> Figure:
    """The price as it is printed: rounded to the currency's decimals."""
    return rounded(each.cost.price, each.cost.minor)


def sum_of_prices(papers: Papers) -> Figure:
    """All prices added, each as printed."""
    return total(SILENCE, [price_of(each) for each in papers.pieces], papers.currency)


def whole_view(
    papers: Papers, each: Held, box_mm: tuple[float, float], assets: dict[str, bytes | Code]
) -> dict[str, str] | None:
    """The whole view of a piece within a box, put among the assets; None when there is none.

    A photo that can't be read leaves its place empty and is told among the problems.
    """
    whole = next((photo for photo in each.facts.photos if photo.view == "whole"), None)
    if whole is None:
        return None
    try:
        photo = open_photo(papers.setting.book.folder, photo_path(whole.file))
        width = min(box_mm[0], box_mm[1] * photo.width / photo.height)
        content = for_print(photo, width, dpi=220, grey=sheet_for(papers.setting).is_black)
    except Slip as slip:
        place = next(one.file.place for one in each.piece.photos if one.file == whole.file)
        papers.problems.add(place, slip.what, slip.remedy)
        return None
    name = f"photo-{each.facts.number}.jpg"
    assets[name] = content
    return {
        "file": name,
        "width": f"{width:.2f}",
        "room": f"{width + _BESIDE_MM:.2f}",
        "alt": whole.alt or each.facts.title,
    }


def parties(papers: Papers) -> dict[str, tuple[str, ...]]:
    """Maker and outlet with their addresses, for papers between the two."""
    studio, outlet = papers.setting.book.studio, papers.outlet
    maker = (str(studio.maker), str(studio.studio), *_reached(studio.contact))
    rest = {str(word): str(text) for word, text in outlet.contact.items()}
    post = rest.pop("post", "")
    post = str(outlet.address or post or outlet.place or "")
    theirs = (*_name_and_post(papers.title, post), *_reached(rest))
    return {
        "maker": tuple(line for line in maker if line),
        "outlet": tuple(line for line in theirs if line),
    }


def _name_and_post(name: str, post: str) -> tuple[str, ...]:
    """An address often begins with the name, in its own spelling: then that one is taken."""
    first, _, rest = post.partition(",")
    is_named = name.casefold().removeprefix("the ") in first.casefold()
    return (first.strip(), rest.strip()) if is_named and rest else (name, post)


def _reached(contact: Mapping[Any, Any]) -> tuple[str, ...]:
    order = ("post", "phone", "email")
    words = sorted(map(str, contact), key=lambda word: (word not in order, word))
    words.sort(key=lambda word: order.index(word) if word in order else len(order))
    return tuple(str(contact[word]) for word in words)
