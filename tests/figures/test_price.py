"""What a price brings: worked examples, each computed twice by hand, and their laws."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given as trying
from hypothesis import strategies as st

from provenance.figures.money.consignment import discounted, parts_of
from provenance.figures.money.cost import CostSheet
from provenance.figures.money.price import break_even, outlet_reading, readings
from provenance.figures.money.terms import tax_on_top, tax_within
from provenance.figures.working import given, rounded_up, total
from provenance.problems import Place
from provenance.records.lots import Outlet
from provenance.records.studio import Tax
from provenance.records.terms import Discount
from provenance.records.text import Fields, Written

NO_TAX = Tax("none", Fraction(0))
MATERIALS, OVERHEAD = given("materials", Fraction("23.30")), given("overhead", Fraction("109.10"))
LABOUR, HOURS = given("labour", Fraction("704.00")), given("hours", 32, "h")
COST = total("cost", [MATERIALS, LABOUR, OVERHEAD])


def shawl(price: int | str) -> CostSheet:
    """The shawl of `test_cost`, at a price."""
    figure = given("price", Fraction(price), "GBP")
    return CostSheet(
        "2026-001", "GBP", (), (), MATERIALS, LABOUR, OVERHEAD, COST, HOURS, figure, figure, True
    )


def outlet(kind: str, **words: str) -> Outlet:
    record = Fields(Place("outlets.yaml", 1, 1))
    record[Written("\0name")] = Written(kind)
    record[Written("kind")] = Written(kind)
    for word, value in words.items():
        record[Written(word.replace("_", " "))] = Written(value)
    return Outlet.model_validate(record)


@pytest.mark.parametrize(
    ("place", "net", "hourly", "to_earn"),
    [
        (outlet("fair", card_fee="3 %"), "659.60", "16.475", "862.27"),
        (outlet("guild", commission="20 %"), "544.00", "12.8625", "1045.50"),
        (outlet("gallery", commission="50 %"), "340.00", "6.4875", "1672.80"),
    ],
)
def test_the_shawl_at_680_in_three_places(place, net, hourly, to_earn):
    reading = outlet_reading(shawl(680), place, NO_TAX)
    assert reading.net.money() == Decimal(net)
    assert reading.hourly.value == Fraction(hourly)
    assert reading.to_earn_the_pay.money() == Decimal(to_earn)


def test_a_commission_is_grossed_up_not_marked_up():
    """100 at 30 % needs 142.86, not 130 (computed: 100 / 0.7)."""
    sheet = replace(shawl(100), cost=given("cost", 100))
    reading = outlet_reading(sheet, outlet("gallery", commission="30 %"), NO_TAX)
    assert reading.to_earn_the_pay.money() == Decimal("142.86")


@pytest.mark.parametrize(("way", "price"), [("included", "100.00"), ("added", "77.78")])
def test_tax_inside_a_price_is_earned_too(way, price):
    """A cost of 70 at 10 %: of 100 with 25 % inside 20 are tax and 10 kept; else 70 / 0.9."""
    sheet = replace(shawl(100), cost=given("cost", 70))
    tax = Tax(way, Fraction("0.25"))
    reading = outlet_reading(sheet, outlet("gallery", commission="10 %"), tax)
    assert reading.to_earn_the_pay.money() == Decimal(price)


@trying(st.integers(0, 60), st.integers(0, 30), st.integers(1, 10**6))
def test_the_price_that_earns_the_pay_earns_it(commission, fee, pence):
    place = outlet("gallery", commission=f"{commission} %", card_fee=f"{fee / 10} %")
    sheet = replace(shawl(1), cost=given("cost", Fraction(pence, 100)))
    price = outlet_reading(sheet, place, NO_TAX).to_earn_the_pay
    net = outlet_reading(replace(sheet, price=price), place, NO_TAX).net
    assert abs(net.value - sheet.cost.value) <= Fraction(2, 100)


@pytest.mark.parametrize(
    ("place", "tax", "must"),
    [  # cost 836.40 and 10 % profit are 920.04; / 0.97, / 0.5, (+ 0.20) / 0.9825, / (1/1.2 - 0.5)
        (outlet("fair", card_fee="3 %"), NO_TAX, "948.49"),
        (outlet("gallery", commission="50 %"), NO_TAX, "1840.08"),
        (outlet("fair", card_fee="1.75 % + 0.20"), NO_TAX, "936.63"),
        (outlet("gallery", commission="50 %"), Tax("included", Fraction("0.2")), "2760.12"),
    ],
)
def test_what_it_must_bring_where_it_hangs(place, tax, must):
    worked_out = given("worked out", Fraction("920.04"), "GBP")
    sheet = replace(shawl(680), worked_out_price=rounded_up(worked_out, 5))
    assert sheet.worked_out_price.value == 925
    assert outlet_reading(sheet, place, tax).must_bring.money() == Decimal(must)


def test_an_outlet_that_keeps_everything_and_a_piece_without_hours():
    reading = outlet_reading(shawl(680), outlet("gallery", commission="100 %"), NO_TAX)
    assert reading.to_earn_the_pay is None
    sheet = replace(shawl(680), hours=given("hours", 0, "h"))
    assert outlet_reading(sheet, outlet("fair"), NO_TAX).hourly is None


@pytest.mark.parametrize(
    ("price", "share", "tax"),
    [("486.00", "0.08", "36.00"), ("1200", "0.20", "200.00"), ("10.00", "0.07", "0.65")],
)
def test_tax_within_a_price(price, share, tax):
    """486.00 including 8 % holds 36.00; 1,200 including 20 % holds 200.00."""
    found = tax_within(given("price", Fraction(price), "GBP"), Tax("included", Fraction(share)), 2)
    assert found.money() == Decimal(tax)


def test_tax_added_and_none():
    price = given("price", 450, "GBP")
    assert tax_on_top(price, Tax("added", Fraction("0.08")), 2).value == 36
    assert tax_on_top(price, NO_TAX, 2).value == 0
    assert tax_within(price, Tax("added", Fraction("0.08")), 2).value == 0


def test_break_even_at_a_fair():
    """350 / (48 x 0.97 - 12) = 10.13, so eleven pieces."""
    fees = [given("table", 300), given("travel", 50)]
    average, fee, materials = given("average", 48), given("fee", Fraction("0.03")), given("m", 12)
    assert break_even(fees, average, fee, materials) == 11
    assert break_even(fees, given("average", 12), fee, materials) is None
    assert break_even(fees, average, fee, given("m", Fraction("46.06"))) == 700  # 0.50 each
    assert break_even(fees, average, fee, given("m", Fraction("46.56"))) is None  # nothing each


def test_consigned_pieces():
    """3 x 2,600 + 1,700 = 9,500, half of it the maker's; 1,200 at 40 % with 10 % off."""
    gallery = outlet("gallery", commission="50 %")
    pieces = [
        parts_of(given("retail", price, "GBP"), gallery, 2) for price in (2600, 2600, 2600, 1700)
    ]
    assert sum(piece.price.value for piece in pieces) == 9500
    assert sum(piece.to_maker.value for piece in pieces) == 4750
    off = Discount(Fraction("0.1"), "gallery", "")
    one = discounted(given("retail", 1200, "GBP"), outlet("gallery", commission="40 %"), off, 2)
    assert one.price.value == 1080
    assert (one.to_maker.value, one.commission.value) == (720, 360)


@trying(st.integers(0, 10**7), st.integers(0, 100), st.integers(0, 100))
def test_consigned_parts_add_up_to_what_the_buyer_pays(pence, commission, discount):
    retail = given("retail", Fraction(pence, 100), "GBP")
    off = Discount(Fraction(discount, 100), "gallery", "")
    parts = discounted(retail, outlet("gallery", commission=f"{commission} %"), off, 2)
    assert parts.to_maker.value + parts.commission.value == parts.price.value


def test_readings_beside_the_price():
    area = given("area", Fraction("929.0304"), "cm2")  # a square foot, 30.48 cm each way
    read = readings(shawl(680), area)
    assert read.per_square_foot.value == 680
    metre = readings(shawl(680), given("area", 20_000, "cm2")).per_square_metre
    assert (metre.value, metre.unit) == (340, "GBP")  # 680 for 2 m2
    assert readings(shawl(680), None).per_cm2 is None
