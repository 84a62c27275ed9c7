"""Shares of a consigned piece: what the buyer pays is parted whole, to the cent, whoever bears it.

1,200 at 40 %: maker 720, gallery 480; 10 % off borne by the gallery: 1,080, 720, 360; shared: maker
648 (glasstips.blogspot.com 2008-10; arithmetic our own).
"""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given as examples
from hypothesis import strategies as st

from provenance.figures.money.consignment import discounted, loss_payment, parts_of, sum_of
from provenance.figures.working import given
from provenance.records import quantities as q
from provenance.records.lots import Outlet
from provenance.records.terms import Discount, Loss
from provenance.records.text import Written

MONEY = st.decimals(0, 100_000, places=2).map(Fraction)
SHARE = st.integers(0, 100).map(lambda percent: Fraction(percent, 100))


def outlet(commission):
    return Outlet.model_construct(
        name=Written("quay"), kind=Written("gallery"), commission=q.PartShare(commission)
    )


def price(amount):
    return given("price", Fraction(amount), "GBP")


def test_the_worked_shares():
    parts = parts_of(price(1200), outlet(Fraction(2, 5)), 2)
    assert (parts.to_maker.value, parts.commission.value) == (720, 480)


@pytest.mark.parametrize(
    ("bearer", "maker", "gallery"),
    [("gallery", 720, 360), ("shared", 648, 432), ("maker", 600, 480)],
)
def test_the_worked_discount(bearer, maker, gallery):
    off = Discount(Fraction(1, 10), bearer, "")
    found = discounted(price(1200), outlet(Fraction(2, 5)), off, 2)
    assert (found.price.value, found.to_maker.value, found.commission.value) == (
        1080, maker, gallery,
    )  # fmt: skip


@examples(MONEY, SHARE, SHARE, st.sampled_from(["gallery", "shared", "maker"]))
def test_nothing_is_lost_between_buyer_maker_and_outlet(amount, commission, off, bearer):
    found = discounted(price(amount), outlet(commission), Discount(off, bearer, ""), 2)
    assert found.price.value == found.to_maker.value + found.commission.value
    assert (found.price.value * 100).denominator == 1


@examples(st.lists(MONEY, min_size=1, max_size=12), SHARE)
def test_sums_add_the_printed_lines(amounts, commission):
    parts = [parts_of(price(each), outlet(commission), 2) for each in amounts]
    whole = sum_of(parts, "GBP")
    assert whole.price.value == whole.commission.value + whole.to_maker.value
    assert whole.to_maker.money() == sum((each.to_maker.money() for each in parts), Decimal(0))


@pytest.mark.parametrize(
    ("amount", "loss", "paid"),
    [
        (180, Loss(Fraction(1, 2), Fraction(200)), 144),
        (320, Loss(Fraction(1, 2), Fraction(200)), 160),
        (200, Loss(Fraction(1, 2), Fraction(200)), 160),
        (200, Loss(Fraction(1, 2), Fraction(200), from_limit=True), 100),
        (200, Loss(), 160),
        (1, Loss(Fraction(1, 2)), Fraction(1, 2)),  # without a limit the share holds for all
        (0, Loss(Fraction(1, 2)), 0),
    ],
)
def test_payment_for_a_loss(amount, loss, paid):
    """W13: cwsg.missouri.org, older text; under and over 200, 20 % commission."""
    assert loss_payment(price(amount), outlet(Fraction(1, 5)), loss, 2).value == paid
