"""What a maker should look into before a piece is sold in a market: questions, never verdicts.

In: a piece, and the studio as far as it goes on a label. Out: notes for the maker's own sheets.
Rules: Regulation (EU) No 1007/2011 Art. 11(3); Regulation (EU) 2023/988 Art. 9(6), 16, 19; UK
Furniture and Furnishings (Fire) (Safety) Regulations 1988 (as trading standards sum it up); 16 CFR
1630 and 1631 (the agency's answers on carpets and rugs, read), 16 CFR 423, 300.19(a), 303.33,
303.34.
"""

from collections.abc import Iterator

from provenance.figures.fibre.label_us import cashmere_doubts, measured_cashmere
from provenance.figures.fibre.origin import of_unknown_origin
from provenance.figures.flow.makeup import base_yarn, fleeces_of
from provenance.figures.flow.sundries import sundries_of
from provenance.problems import Said, row
from provenance.records.amounts import Size
from provenance.records.book import Book
from provenance.records.lots import Fleece
from provenance.records.pieces import Piece
from provenance.reference.measures import INCH

_WORN = ("shawl", "scarf", "garment")
_FOOT = INCH * 12
LONG_RUG, LARGE_RUG = 6 * _FOOT, 24 * _FOOT * _FOOT  # 6 ft, 24 sq ft
_IN_THE_EU = ("EUR", "SEK", "DKK", "PLN", "CZK", "HUF", "RON", "BGN")  # who prices in these


def piece_prompts(book: Book, piece: Piece, market: str) -> Iterator[Said]:
    """The notes of one market, beside those of its fibre label."""
    if market == "US":
        yield from _us(book, piece)
        return
    if piece.made > 1:
        yield Said("label_note.set")
    if not has_address(book):
        yield Said(f"label_note.address_{market.lower()}")
    is_abroad = str(book.studio.currency) not in _IN_THE_EU
    if market == "EU" and is_abroad and not book.studio.responsible_person:
        yield Said("label_note.responsible_eu")
    if market == "UK" and piece.kind == "cushion":
        padded = any("pad" in name.casefold().split() for name in sundries_of(book, piece))
        is_filled = padded or any("filling" in name.casefold() for name in piece.parts)
        yield Said("label_note.uk_cushion" if is_filled else "label_note.uk_cover")


def has_address(book: Book) -> bool:
    """Whether a postal and an electronic address of the maker may be printed."""
    ways = {str(way) for way in book.studio.public_contact if book.studio.contact.get(way)}
    return "post" in ways and bool("email" in ways or book.studio.site)


def _us(book: Book, piece: Piece) -> Iterator[Said]:
    if piece.kind == "rug" and piece.size:
        yield Said(f"label_note.us_rug_{rug_class(piece.size)}")
    if not book.studio.origin:
        yield Said("label_note.us_offer")
    if piece.kind in _WORN:
        yield Said("label_note.us_worn")
    if lots := of_unknown_origin(book, piece):
        yield Said("label_note.us_made_in", lots=row(lots))
    for fleece in _fleeces(book, piece):
        if "cashmere" in fleece.fibre and fleece.micron:
            for doubt in cashmere_doubts(*measured_cashmere(str(fleece.micron))):
                yield Said("label_note.us_cashmere", lot=str(fleece.name), doubt=doubt)


def rug_class(size: Size) -> str:
    """Large: longer than 6 ft and over 24 sq ft (16 CFR 1630); small: neither (1631); between."""
    is_long, is_wide = max(size.height, size.width) > LONG_RUG, size.area > LARGE_RUG
    if is_long and is_wide:
        return "large"
    return "between" if is_long or is_wide else "small"


def _fleeces(book: Book, piece: Piece) -> tuple[Fleece, ...]:
    """Every fleece in it, each once."""
    found: dict[str, Fleece] = {}
    for use in piece.yarns:
        yarn = book.yarns.get(base_yarn(book, str(use.lot))) if use.lot else None
        own = book.fleece.get(str(use.fleece)) if use.fleece else None
        lots = fleeces_of(book, yarn) if yarn else (own,) if own else ()
        found |= {str(fleece.name): fleece for fleece in lots}
    return tuple(found.values())
