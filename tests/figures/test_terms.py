"""What outlets keep, worked by hand: fees with a fixed part, tax on a commission, wholesale."""

from fractions import Fraction

import pytest
from hypothesis import given as trying
from hypothesis import strategies as st

from provenance.figures.money.consignment import parts_of
from provenance.figures.money.price import outlet_reading
from provenance.figures.money.terms import kept_back
from provenance.figures.working import given
from provenance.problems import Slip
from provenance.records.numbers import Habits
from provenance.records.pay import read_card_fee
from provenance.records.studio import Tax
from provenance.records.text import Written
from tests.figures.test_price import NO_TAX, outlet, shawl

ADDED, INCLUDED = Tax("added", Fraction("0.08")), Tax("included", Fraction("0.20"))


def read(place, price, tax=NO_TAX):
    """Commission, card fee, tax inside, net and the price that pays 836.40, as money."""
    found = outlet_reading(shawl(price), place, tax)
    parts = (found.commission, found.card_fee, found.tax, found.net, found.to_earn_the_pay)
    return tuple(str(each.money()) for each in parts)


@pytest.mark.parametrize(
    ("typed", "share", "fixed"),
    [
        ("1.75 %", "0.0175", "0"),
        ("1.75 % + 0.20", "0.0175", "0.20"),
        ("0.30 + 2.9 %", "0.029", "0.30"),
        ("0.25", "0", "0.25"),
    ],
)
def test_a_card_fee_has_a_share_and_a_fixed_part(typed, share, fixed):
    fee = read_card_fee(Written(typed), Habits())
    assert (fee.share, fee.fixed) == (Fraction(share), Fraction(fixed))


def test_a_card_fee_with_decimal_commas():
    fee = read_card_fee(Written("1,75 % + 0,20"), Habits(decimal_comma=True))
    assert (fee.share, fee.fixed) == (Fraction("0.0175"), Fraction("0.20"))


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("1 % + 2 %", "record.card_fee"),
        ("0.20 + 0.30", "record.card_fee"),
        ("1.75 % +", "record.card_fee"),
        ("2", "amount.no_sign"),
        ("110 %", "amount.more_than_whole"),
    ],
)
def test_what_is_no_card_fee(typed, key):
    with pytest.raises(Slip) as slip:
        read_card_fee(Written(typed), Habits())
    assert slip.value.what.key == key


def test_a_fee_with_a_fixed_part():
    """480 at 1.75 % + 0.20: 8.40 + 0.20 = 8.60, net 471.40; (836.40 + 0.20) / 0.9825 = 851.501."""
    place = outlet("fair", card_fee="1.75 % + 0.20")
    assert read(place, 480) == ("0.00", "8.60", "0.00", "471.40", "851.50")


def test_a_fee_is_taken_of_the_tax_that_is_added_too():
    """480 + 8 % = 518.40 is paid by card: 9.072 + 0.20 = 9.27, net 470.73.

    To earn 836.40: 836.60 / (1 - 0.0175 x 1.08) = 836.60 / 0.9811 = 852.716.
    """
    place = outlet("fair", card_fee="1.75 % + 0.20")
    assert read(place, 480, ADDED) == ("0.00", "9.27", "0.00", "470.73", "852.72")


def test_tax_inside_a_price_and_a_fixed_fee():
    """480 holds 80 of tax at 20 %; the fee is of all 480: net 480 - 80 - 8.60 = 391.40.

    836.60 / (1 / 1.2 - 0.0175) = 836.60 / 0.815833 = 1025.454.
    """
    place = outlet("fair", card_fee="1.75 % + 0.20")
    assert read(place, 480, INCLUDED) == ("0.00", "8.60", "80.00", "391.40", "1025.45")


def test_tax_on_a_commission():
    """1,200 at 40 %: 480, and 20 % of that 96: 624 in hand (computed in the books' own example).

    836.40 / (1 - 0.48) = 1608.46.
    """
    place = outlet("gallery", commission="40 %", tax_on_commission="20 %")
    assert read(place, 1200) == ("576.00", "0.00", "0.00", "624.00", "1608.46")
    parts = parts_of(given("price", 1200, "GBP"), place, 2)
    assert (parts.commission.value, parts.to_maker.value) == (576, 624)


def test_an_outlet_that_buys():
    """Half of 485 is 242.50, all of it the maker's; 836.40 / 0.5 = 1672.80."""
    place = outlet("shop", wholesale="50 %")
    assert read(place, 485) == ("0.00", "0.00", "0.00", "242.50", "1672.80")
    parts = parts_of(given("price", 485, "GBP"), place, 2)
    assert (parts.price.value, parts.commission.value, parts.to_maker.value) == (
        485, Fraction("242.5"), Fraction("242.5"),
    )  # fmt: skip


def test_a_trade_price_is_the_same_before_and_after_tax():
    """Half of 120 with 20 % in it: 60 holds 10, net 50; half of the 100 before tax is 50 too."""
    place = outlet("shop", wholesale="50 %")
    assert read(place, 120, INCLUDED)[2:4] == ("10.00", "50.00")


@trying(
    st.integers(0, 60), st.integers(0, 25), st.integers(0, 30), st.integers(0, 100),
    st.sampled_from([NO_TAX, ADDED, INCLUDED]), st.integers(1, 10**6),
)  # fmt: skip
def test_the_price_that_earns_the_pay_earns_it(commission, on_it, fee, fixed, tax, pence):
    """Whatever is kept: at that price the net is the cost, but for the rounding of four lines."""
    from dataclasses import replace

    words = {"commission": f"{commission} %", "tax_on_commission": f"{on_it} %"}
    place = outlet("gallery", card_fee=f"{fee / 10} % + {fixed / 100:.2f}", **words)
    sheet = replace(shawl(1), cost=given("cost", Fraction(pence, 100), "GBP"))
    price = outlet_reading(sheet, place, tax).to_earn_the_pay
    if price is not None:
        net = outlet_reading(replace(sheet, price=price), place, tax).net
        assert abs(net.value - sheet.cost.value) <= Fraction(3, 100)


def test_all_that_an_outlet_keeps_of_a_price():
    """480 at 45 % is 216.00; with 20 % tax on it 259.20; a card at 2 % + 0.10 takes 9.70 more."""
    place = outlet("gallery", commission="45 %", tax_on_commission="20 %", card_fee="2 % + 0.10")
    assert kept_back(given("price", 480, "GBP"), place, NO_TAX, 2).value == Fraction("268.90")
