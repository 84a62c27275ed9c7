"""Wall labels, in the order of a museum's: maker; title and date; medium; size; number; price.

In: works in the order they hang in. Out: cards with cut marks, the selvedge as their left edge.
Order: artic.edu/articles/872/how-to-read-a-label. Letters: 18 points is the floor for labels beside
objects (museum list, 2005); no line over 55 characters, no italics, set from the left (Smithsonian,
Accessible Exhibition Design; Gaylord, accessible labels, where the height of 137 cm, and 122 to
170, is from too). They hang before the public: no contact and no address is on them, and a code
only where the outlet's tags have one; it is 50 mm wide, to be read from 50 to 60 cm.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from provenance.papers.certificates.object_id import medium
from provenance.papers.format import format_for
from provenance.papers.sheets.frame import Paper, Sheets, Slips
from provenance.papers.shows.room import Room
from provenance.press.codes.qr import Code, code_for, mm
from provenance.press.drawings.selvedge import bar_svg
from provenance.public.names import capital
from provenance.public.piece import PublicPiece
from provenance.public.show import PublicShow
from provenance.public.studio import PublicStudio

_EDGE_MM = (9.0, 60.0)
_CODE_MM = Decimal(50)
_SAID = ("sold", "commission", "not for sale")  # states that are told instead of a price


@dataclass(frozen=True, slots=True)
class LabelWords:
    """What a label says, line by line: the same on the card and in large print. `price` is what
    stands in its place where there is none to tell, '' where that is nothing."""

    number: str
    maker: str
    title: str
    year: str
    lines: tuple[str, ...]
    mark: str
    price: str


Card = tuple[str, LabelWords]  # where on which wall, '' where that is not known; what it says


def label_words(sheets: Sheets, each: PublicPiece, *, prices: bool = True) -> LabelWords:
    """The words of a work's label; a lent work says so."""
    lent = each.state == "not for sale"
    mark = f"{each.number}. {sheets.say('lent')}" if lent else each.number
    set_line = each.set_line if each.for_sale else ""
    lines = tuple(filter(None, (label_medium(sheets, each), each.size, set_line)))
    price = _price(sheets, each) if prices else ""
    return LabelWords(each.number, sheets.studio.maker, each.title, each.year, lines, mark, price)


def label_medium(sheets: Sheets, each: PublicPiece) -> str:
    """Fibres in falling order, the cloth, and what it was dyed with; of earlier work what is
    recalled, at least what kind of thing it is."""
    dyes = ", ".join(map(sheets.phrases.stuff, each.dye_names))
    dyed = sheets.say("dyed", dyes=dyes) if dyes else ""
    known = "; ".join(filter(None, (medium(each) or each.recalled, dyed)))
    return capital(known) or each.kind_word


def _price(sheets: Sheets, each: PublicPiece) -> str:
    if each.state == "available":
        return each.price_each or sheets.phrases.say("state.on_request")
    return each.availability if each.state in ("reserved", *_SAID) else ""


def wall_labels(
    studio: PublicStudio, show: PublicShow, pieces: tuple[PublicPiece, ...], slips: Slips
) -> list[Paper]:
    """A card for every work, as they hang; above it, outside the cut, where it goes."""
    room = Room(studio, pieces, show, slips=slips)
    words = {e.number: label_words(room, e, prices=show.shows_prices) for e in pieces}
    cards = [
        (room.told("which", wall=wall, turn=turn, number=len(works)) if wall else "",
         words[each.number])
        for wall, works in room.walls
        for turn, each in enumerate(works, 1)
    ]  # fmt: skip
    codes = _codes(studio, pieces) if show.has_codes else {}
    values, assets = card_sheet(room, cards, codes)
    page = room.page("wall_labels", room.say("wall_labels"), values, assets=assets)
    return room.papers(page)


def card_sheet(
    sheets: Sheets, cards: Sequence[Card], codes: Mapping[str, Code]
) -> tuple[dict[str, Any], dict[str, bytes | Code]]:
    """What the template of labels is filled with, and the drawings that it asks for."""
    black = format_for(sheets.studio).is_black
    assets: dict[str, bytes | Code] = {f"code-{number}.png": codes[number] for number in codes}
    for each in sheets.pieces:
        edge = bar_svg(each.stripes, *_EDGE_MM, upright=True, black=black)
        assets[f"edge-{each.number}.svg"] = edge
    said = {
        number: (mm(code, _CODE_MM / code.modules), sheets.phrases.say(
            "certificate.code", number=number, address=code.address))
        for number, code in codes.items()
    }  # fmt: skip
    cut = sheets.phrases.say("exhibition.cut")
    return {"cards": cards, "codes": said, "cut": cut}, assets


def _codes(studio: PublicStudio, pieces: Sequence[PublicPiece]) -> dict[str, Code]:
    """A code for every work that has a page on the site."""
    shown = [each.number for each in pieces if studio.site and not each.is_draft]
    return {number: code_for(studio.site, number) for number in shown}
