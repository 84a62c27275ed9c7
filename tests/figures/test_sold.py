"""What was really kept back counts, whatever the outlet's terms are today; pay by its day.

One piece: 100 g of yarn at 100 a kilogram = 10; weaving 10 h.
"""

from datetime import date
from fractions import Fraction

import pytest

from provenance.figures.flow.gather import studio_flow
from provenance.figures.money.cost import cost_sheet, pay_of
from provenance.figures.money.price import hourly_return
from provenance.figures.money.sold import sold
from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.records.book import read_book

STUDIO = """studio: Brackenfold
maker: Isla Wren
pay:
  - {from: 2027-01-01, any: 20.00, weaving: 24.00}
  - {any: 18.00, weaving: 22.00}
"""
PIECE = """number: 2026-001
title: Ebb
kind: shawl
size: 100 x 50 cm
yarns: [{use: weft, lot: plain, weight: 100 g}]
hours: {weaving: 10, finishing: 1}
price: 480
"""


@pytest.fixture
def one(write_studio):
    def read(more, *, commission="45 %", studio=STUDIO, problems=()):
        files = {
            "studio/studio.yaml": studio,
            "studio/yarns.yaml": "plain: {fibre: wool, weight: 1 kg, cost: 100}\n",
            "studio/outlets.yaml": f"quay: {{kind: gallery, commission: {commission}}}\n"
            "trade: {kind: shop, wholesale: 50 %}\n",
            "2026-001.yaml": PIECE + more,
        }
        book, found = read_book(write_studio(files))
        assert [told(each, british()) for each in found] == list(problems)
        return book

    return read


def labour(book, today=date(2026, 11, 25)):
    piece = book.pieces["2026-001"]
    return cost_sheet(book, studio_flow(book), piece, today).labour.value


@pytest.mark.parametrize(
    ("more", "today", "worth"),
    [
        ("finished: 2026-12-31", date(2027, 5, 1), 238),  # 10 x 22 + 1 x 18
        ("finished: 2027-01-01", date(2027, 5, 1), 260),  # 10 x 24 + 1 x 20
        ("", date(2026, 12, 31), 238),
        ("", date(2027, 1, 1), 260),
        ("sale: {on: 2026-12-31, price: 400}", date(2028, 1, 1), 238),  # sold, no day of finish
    ],
)
def test_a_piece_is_valued_at_the_pay_of_its_finish(one, more, today, worth):
    assert labour(one(more), today) == worth


def test_before_the_first_line_the_first_counts(one):
    only_later = STUDIO.replace("  - {any: 18.00, weaving: 22.00}\n", "")
    assert labour(one("finished: 2026-06-01", studio=only_later)) == 260


def test_one_line_of_pay_needs_no_list_and_no_note(one):
    plain = "studio: Brackenfold\nmaker: Isla Wren\npay: {any: 18.00, weaving: 22.00}\n"
    book = one("finished: 2027-06-01", studio=plain)
    assert labour(book) == 238
    assert pay_of(book.studio, "weaving").note == ""


@pytest.mark.parametrize(
    ("day", "said"),
    [
        (date(2026, 12, 31), "the pay before any later line"),
        (date(2027, 1, 1), "the pay from 2027-01-01 on"),
    ],
)
def test_the_working_names_the_line_that_counted(one, day, said):
    pay = pay_of(one("").studio, "weaving", day)
    assert british().tell(pay.note) == said
    assert pay.place.short == f"pieces/studio/studio.yaml:{5 if day.year == 2026 else 4}"


REMEDY = "    leave the first as it is, and write 'from: 2027-01-01' into each that came after it"


@pytest.mark.parametrize(
    ("pay", "what"),
    [
        (
            "  - {any: 18}\n  - {any: 20}\n",
            "pieces/studio/studio.yaml:5:5: two lines of pay do not say from when they count\n"
            + REMEDY,
        ),
        (
            "  - {from: 2027-01-01, any: 18}\n  - {from: 2027-01-01, any: 20}\n",
            "pieces/studio/studio.yaml:5:5: two lines of pay begin on 2027-01-01\n" + REMEDY,
        ),
    ],
)
def test_two_lines_of_pay_for_one_day(one, pay, what):
    one("", studio=f"studio: Brackenfold\nmaker: Isla Wren\npay:\n{pay}", problems=[what])


def sale_of(book):
    piece, flow = book.pieces["2026-001"], studio_flow(book)
    sheet, tax = cost_sheet(book, flow, piece), book.studio.prices.tax
    (found,) = (sold(sheet, piece, sale, book.outlets, tax) for sale in piece.sold)
    return sheet, found


@pytest.mark.parametrize("commission", ["45 %", "50 %", "0 %"])
def test_what_was_kept_back_counts_whatever_the_commission_is_today(one, commission):
    """480 - 216 = 264; (264 - 10 materials) / 11 h = 23.0909."""
    more = "finished: 2026-06-01\nsale: {on: 2026-11-02, price: 480, at: quay, kept back: 216.00}\n"
    sheet, found = sale_of(one(more, commission=commission))
    assert (found.kept_back.value, found.net.value, found.is_noted) == (216, 264, True)
    assert hourly_return(sheet, found.net).value == Fraction(254, 11)


def test_without_a_word_the_terms_of_today_stand_in(one):
    _, found = sale_of(one("sale: {on: 2026-11-02, price: 480, at: quay}\n", commission="50 %"))
    assert (found.kept_back.value, found.net.value, found.is_noted) == (240, 240, False)


def test_tax_inside_a_price_is_not_the_makers(one):
    """480 with 20 % in it holds 80: 480 - 216 - 80 = 184."""
    more = "sale: {on: 2026-11-02, price: 480, at: quay, kept back: 216.00}\n"
    taxed = STUDIO + "prices: {tax: included 20 %}\n"
    _, found = sale_of(one(more, studio=taxed))
    assert (found.tax.value, found.net.value) == (80, 184)


@pytest.mark.parametrize(("price", "paid"), [("price: 230, ", 230), ("", 240)])
def test_an_outlet_that_buys_keeps_nothing_back(one, price, paid):
    """The sale's own price is what the shop paid; without one, half of 480."""
    _, found = sale_of(one(f"sale: {{on: 2026-11-02, {price}at: trade}}\n"))
    assert (found.price.value, found.kept_back.value, found.net.value) == (paid, 0, paid)


def test_no_more_is_kept_back_than_was_paid(one):
    what = (
        "pieces/2026-001.yaml:8:57: sale: more was kept back than was paid\n"
        "    'kept back' is what the outlet kept, not what it paid you"
    )
    more = "sale: {on: 2026-11-02, price: 480, at: quay, kept back: 480.01}\n"
    one(more, problems=[what])
