"""What a maker's own sold pieces brought by area, worked by hand: 100 x 50 cm are 5000 cm2."""

from fractions import Fraction

import pytest

from provenance.figures.money.price import own_sales, per_square_foot
from provenance.figures.working import given
from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.records.book import read_book

SOLD = "sale: {on: 2026-10-01, price: 500}\n"
SIZE = "size: 100 x 50 cm\n"


def piece(turn, more, kind="shawl"):
    return (
        f"number: 2026-00{turn}\ntitle: Ebb\nprice: 250\n" + f"kind: {kind}\n" * bool(kind) + more
    )


@pytest.fixture
def sales(write_studio):
    """The sales beside piece 1, from the records of the others."""

    def read(*others, kind="shawl", more=SIZE):
        pieces = [piece(1, more, kind), *others]
        book, problems = read_book(write_studio({f"{text[8:16]}.yaml": text for text in pieces}))
        assert [told(each, british()) for each in problems if not each.is_remark] == []
        return own_sales(book, book.pieces["2026-001"])

    return read


def test_the_least_and_the_most_of_what_was_sold(sales):
    """500 and 250 for 5000 cm2, 2000 for 10,000 cm2: 0.10, 0.05 and 0.20."""
    found = sales(
        piece(2, SIZE + SOLD),
        piece(3, SIZE + "sale: {on: 2026-10-01}\n"),
        piece(4, "size: 100 x 100 cm\n" + SOLD.replace("500", "2000")),
    )
    assert (found.kind, found.numbers) == ("shawl", ("2026-002", "2026-003", "2026-004"))
    assert (found.least.value, found.most.value) == (Fraction("0.05"), Fraction("0.2"))
    assert found.least.how == "least" and found.most.how == "most"
    assert [term.terms[1].value for term in found.most.terms] == [5000, 5000, 10_000]


@pytest.mark.parametrize(
    ("per_cm2", "where"),
    [("0.04", "below"), ("0.05", "within"), ("0.1", "within"), ("0.11", "above")],
)
def test_where_a_price_lies(sales, per_cm2, where):
    found = sales(piece(2, SIZE + SOLD), piece(3, SIZE + "sale: {on: 2026-10-01}\n"))
    assert found.where(given("price", Fraction(per_cm2))) == where


@pytest.mark.parametrize(
    "other",
    [
        piece(2, SIZE),
        piece(2, SOLD),
        piece(2, SIZE + SOLD, kind="rug"),
        piece(2, SIZE + "sale: {on: 2026-10-01}\n").replace("price: 250\n", ""),
    ],
)
def test_unsold_unmeasured_unpriced_and_other_kinds_are_left_out(sales, other):
    assert sales(other) is None
    assert sales(other, piece(3, SIZE + SOLD)).numbers == ("2026-003",)


def test_the_piece_itself_is_left_out(sales):
    assert sales(more=SIZE + SOLD) is None
    assert sales(piece(2, SIZE + SOLD), more=SIZE + SOLD).numbers == ("2026-002",)


def test_pieces_without_a_kind_are_no_kind(sales):
    assert sales(piece(2, SIZE + SOLD, kind=""), kind="") is None


def test_the_same_by_the_square_foot():
    """A foot is 30.48 cm: 0.10 a square centimetre is 92.90304 a square foot."""
    found = per_square_foot(given("price", Fraction("0.1"), "GBP"))
    assert (found.value, found.unit) == (Fraction("92.90304"), "GBP")
