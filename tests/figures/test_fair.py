"""A fair worked by hand: what it must bring, what its pieces would bring there, what it brought.

Two pieces at 20 an hour and 10 % overhead. One: 100 g of yarn at 100 a kilogram and 2 hours, so
10 + 40 + 5 = 55. Two: 300 g and 4 hours, so 30 + 80 + 11 = 121. Prices 100 and 200.
"""

from fractions import Fraction

import pytest

from provenance.figures.flow.gather import studio_flow
from provenance.figures.money.cost import cost_sheet
from provenance.figures.money.fair import fees_of, prospect, result_of, sold_there
from provenance.figures.money.price import area_of
from provenance.figures.money.sold import sold
from provenance.figures.working import redo
from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.records.book import read_book

STUDIO = "studio: Brackenfold\nmaker: Isla Wren\npay: {any: 20}\noverhead: 10 %\n"
FILES = {
    "studio/studio.yaml": STUDIO,
    "studio/yarns.yaml": "plain: {fibre: wool, weight: 1 kg, cost: 100}\n",
    "studio/outlets.yaml": """
dale:
  {kind: fair, fees: {table: 30, travel: 14}, commission: 7 %, card fee: 3 %}
dear: {kind: fair, fees: {table: 350}, commission: 7 %, card fee: 3 %}
free: {kind: fair}
""",
}
PIECE = """number: 2026-00{turn}
title: Ebb
kind: shawl
size: 100 x 50 cm
yarns: [{{use: weft, lot: plain, weight: {grams} g}}]
hours: {{weaving: {hours}}}
finished: 2026-09-14
price: {price}
{more}
"""


def one(more=""):
    return PIECE.format(turn=1, grams=100, hours=2, price=100, more=more)


def two(more=""):
    return PIECE.format(turn=2, grams=300, hours=4, price=200, more=more)


def name_of(text):
    return text.partition("\n")[0].removeprefix("number: ")


@pytest.fixture
def opened(write_studio):
    def read(*pieces, more=""):
        files = {f"{name_of(text)}.yaml": text for text in pieces or (one(), two())}
        book, problems = read_book(
            write_studio({**FILES, "studio/studio.yaml": STUDIO + more, **files})
        )
        assert [told(each, british()) for each in problems] == []
        return book, studio_flow(book)

    return read


def sheets_of(book, flow):
    return [cost_sheet(book, flow, piece) for piece in book.pieces.values()]


def comes_to_the_same(figure):
    """Whether a figure can be worked again from what was given."""
    if figure.how == "given":
        return True
    again = redo(figure.how, [term.value for term in figure.terms])
    return again == figure.value and all(map(comes_to_the_same, figure.terms))


@pytest.mark.parametrize(
    ("outlet", "to_sell", "fees"), [("dale", 1, 44), ("dear", 4, 350), ("free", 0, 0)]
)
def test_how_many_pieces_pay_for_it(opened, outlet, to_sell, fees):
    """150 x 0.9 - 20 = 115 a piece: 44 is paid by the first, 350 by the fourth."""
    book, flow = opened()
    found = prospect(book.outlets[outlet], sheets_of(book, flow), book)
    assert (found.to_sell, found.fixed.value) == (to_sell, fees)
    assert (found.average.value, found.materials.value) == (150, 20)
    assert found.kept.value == (1 if outlet == "free" else Fraction("0.9"))
    assert [comes_to_the_same(each) for each in (found.average, found.materials, found.kept)] == [
        True, True, True,
    ]  # fmt: skip


def test_tax_inside_the_prices_is_paid_on(opened):
    """A fifth of 100 and 200 is tax: 30 on average; 150 x 0.9 - 20 - 30 = 85, so 350 needs five."""
    book, flow = opened(more="prices: {tax: included 25 %}\n")
    found = prospect(book.outlets["dear"], sheets_of(book, flow), book)
    assert found.to_sell == 5
    assert [each.net.value for each in found.readings] == [70, 140]


def test_what_each_piece_brings_there(opened):
    """100 - 7 - 3 = 90, less 15 for 2 h: 37.50 an hour; 200 - 20 = 180, less 41 for 4 h: 34.75."""
    book, flow = opened()
    found = prospect(book.outlets["dale"], sheets_of(book, flow), book)
    assert [(each.net.value, each.hourly.value) for each in found.readings] == [
        (90, Fraction("37.5")), (180, Fraction("34.75")),
    ]  # fmt: skip


def test_no_number_of_pieces_pays_where_each_brings_less_than_its_yarn(opened):
    """At 10 each 9 is kept, and the yarn alone cost 20."""
    book, flow = opened(one().replace("price: 100", "price: 10"), two().replace("200", "10"))
    assert prospect(book.outlets["dale"], sheets_of(book, flow), book).to_sell is None


def test_its_fees_stand_in_the_record(opened):
    book, _ = opened()
    found = fees_of(book.outlets["dale"], "GBP")
    assert [(each.what, each.value, each.unit) for each in found] == [
        ("table", 30, "GBP"), ("travel", 14, "GBP"),
    ]  # fmt: skip
    assert {each.place.short for each in found} == {"pieces/studio/outlets.yaml:3"}


def test_what_it_brought(opened):
    """300 taken, 270 kept, 226 after fees; less 40 and 16: 170 for 6 hours."""
    book, flow = opened()
    found = result_of(book.outlets["dale"], sheets_of(book, flow), book)
    assert (found.count, found.taken.value, found.net.value) == (2, 300, 270)
    assert (found.after_fees.value, found.hours.value) == (226, 6)
    assert found.hourly.value == Fraction(170, 6)
    assert comes_to_the_same(found.hourly)


def test_tax_inside_the_prices_was_not_the_makers(opened):
    """300 holds 60 of tax: 210 kept."""
    book, flow = opened(more="prices: {tax: included 25 %}\n")
    assert result_of(book.outlets["dale"], sheets_of(book, flow), book).net.value == 210


def test_nothing_sold_brings_the_fees_as_a_loss_and_no_hourly_return(opened):
    book, _ = opened()
    found = result_of(book.outlets["dale"], [], book)
    assert (found.count, found.taken.value, found.after_fees.value) == (0, 0, -44)
    assert found.hourly is None


@pytest.mark.parametrize(
    ("more", "prices"),
    [
        ("sale: {on: 2026-10-01, price: 90, at: dale}", [90]),
        ("sale: {on: 2026-10-01, price: 90}\nat: dale", [90]),
        ("sale: {on: 2026-10-01, at: dale}", [100]),
        ("sale: {on: 2026-10-01, price: 90, at: dear}\nat: dale", []),
        ("sale: {on: 2026-10-01, price: 90}", []),
        ("at: dale", []),
    ],
)
def test_pieces_sold_there_at_what_was_paid(opened, more, prices):
    book, flow = opened(two(), one(more))
    found = sold_there(book, flow, book.outlets["dale"])
    assert [(one.piece.number, sheet.price.value) for one, sheet in found] == [
        ("2026-001", price) for price in prices
    ]


@pytest.mark.parametrize(
    ("more", "outlet", "net"),
    [
        ("sale: {on: 2026-10-01, price: 90, at: dale}", "dale", 81),
        ("sale: {on: 2026-10-01, price: 90}\nat: dale", "dale", 81),
        ("sale: {on: 2026-10-01, at: dale}", "dale", 90),
        ("sale: {on: 2026-10-01, price: 90, at: free}\nat: dale", "free", 90),
    ],
)
def test_what_one_sale_brought_where_it_was_sold(opened, more, outlet, net):
    """A tenth is kept at Dale Fair, of what was paid or else of the price."""
    book, flow = opened(one(more))
    (piece,) = book.pieces.values()
    (found,) = sales_in(book, flow, piece)
    assert (found.at, found.net.value) == (outlet, net)


def sales_in(book, flow, piece):
    sheet, tax = cost_sheet(book, flow, piece), book.studio.prices.tax
    return [sold(sheet, piece, sale, book.outlets, tax) for sale in piece.sold]


@pytest.mark.parametrize("more", ["", "at: dale"])
def test_no_sale_at_an_outlet_brought_nothing_there(opened, more):
    book, flow = opened(one(more))
    (piece,) = book.pieces.values()
    assert sales_in(book, flow, piece) == []


def test_a_sale_at_no_outlet_brought_its_whole_price(opened):
    book, flow = opened(one("sale: {on: 2026-10-01, price: 90}"))
    (piece,) = book.pieces.values()
    (found,) = sales_in(book, flow, piece)
    assert (found.at, found.outlet, found.kept_back.value, found.net.value) == (
        "studio",
        None,
        0,
        90,
    )


def test_the_area_of_a_piece(opened):
    book, _ = opened(one(), two().replace("size: 100 x 50 cm\n", ""))
    area = area_of(book.pieces["2026-001"])
    assert (area.value, area.unit) == (5000, "cm2")
    assert [term.value for term in area.terms] == [100, 50]
    assert area_of(book.pieces["2026-002"]) is None
