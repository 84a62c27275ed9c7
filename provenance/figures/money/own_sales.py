"""A price by area beside what the maker's own sold pieces of that kind brought.

In: the book, a piece and its price. Out: the least and the most a square centimetre (and a square
foot) of sold work of the same kind brought, and where this piece lies. Readings, never the price.
"""

from dataclasses import dataclass

from provenance.figures.money.price import a_square_foot, area_of
from provenance.figures.working import Figure, extreme, given, product, quotient
from provenance.problems import Said
from provenance.records.book import Book
from provenance.records.pieces import Piece


@dataclass(frozen=True, slots=True)
class OwnSales:
    """Price per cm2 of sold pieces of one kind; `numbers` in the order of the record."""

    kind: str
    numbers: tuple[str, ...]
    least: Figure
    most: Figure

    def where(self, per_cm2: Figure) -> str:
        """Below, within or above what was sold."""
        if per_cm2.value < self.least.value:
            return "below"
        return "above" if per_cm2.value > self.most.value else "within"


def own_sales(book: Book, piece: Piece) -> OwnSales | None:
    """Sold pieces of the same kind, this one left out; None when there are none with a size."""
    others = (each for each in book.pieces.values() if each is not piece and each.kind)
    found = {
        str(each.number): reading
        for each in others
        if each.kind == piece.kind and (reading := _sold_per_cm2(book, each)) is not None
    }
    if not found:
        return None
    terms = list(found.values())
    least = extreme(Said("step.least_sold"), "least", terms)
    most = extreme(Said("step.most_sold"), "most", terms)
    return OwnSales(str(piece.kind), tuple(found), least, most)


def per_square_foot(per_cm2: Figure) -> Figure:
    """The same price by the square foot (929.0304 cm2)."""
    return product(Said("step.per_sq_ft"), per_cm2, a_square_foot(), unit=per_cm2.unit)


def _sold_per_cm2(book: Book, piece: Piece) -> Figure | None:
    """What a sold piece brought by area; None when not sold, or price or size is missing."""
    area = area_of(piece)
    if piece.state != "sold" or area is None:
        return None
    price = piece.sale.price if piece.sale and piece.sale.price is not None else piece.price
    if price is None:
        return None
    money = str(book.studio.currency)
    brought = given(Said("step.price_of", piece=piece.number), price, money, price.place)
    return quotient(Said("step.piece_per_cm2", piece=piece.number), brought, area, unit=money)
