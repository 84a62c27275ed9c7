"""Sets of like things: worked out whole, told of one; worked by hand.

Six napkins of linen that cost 80 for 2 kg, 490 g of it: 19.60; six labels at 0.35: 2.10; 10.5 hours
at 22: 231.00; overhead 15 % of 252.70, 37.905: 37.91; together 290.61. Of one a sixth of each, half
up: 3.62, 38.50, 6.32, and 48.435: 48.44; with 10 % profit 53.28. At 38 an hour of the 1.75 brings
(38 - 3.62 - 6.32) / 1.75 = 16.0342857.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given as each_of
from hypothesis import settings
from hypothesis import strategies as st

from provenance.figures.cloth.balance import balance
from provenance.figures.flow.gather import studio_flow
from provenance.figures.money.cost import cost_sheet
from provenance.figures.money.fair import prospect, result_of, sold_there
from provenance.figures.money.price import hourly_return, own_sales
from provenance.figures.money.sold import sold as sold_by
from provenance.figures.quotation.card import like_piece
from provenance.figures.quotation.cloth import metres_in
from provenance.figures.quotation.quote import quote
from provenance.figures.quotation.time import histories, weight_of
from provenance.figures.stock.stock import goods_sold, insurance, stock_on
from provenance.figures.working import redo
from provenance.records.book import read_book

STUDIO = """studio: Brackenfold
maker: Isla Wren
pay: {any: 22}
overhead: 15 %
profit: 10 %
every piece takes: {label: 1}
"""
OUTLETS = """studio: {kind: studio}
quay: {kind: gallery, commission: 45 %}
dale: {kind: fair, fees: {stand: 40}, card fee: 2 %}
"""
NAPKINS = """number: 2026-020
title: Napkins
kind: cloth
structure: plain weave
size: 40 x 50 cm
weight: 76 g
finished: 2026-10-01
yarns:
  - {use: warp, lot: linen, weight: 260 g, waste: 29 g}
  - {use: weft, lot: linen, weight: 230 g, waste: 5 g}
hours: {warping: 2, weaving: 7, finishing: 1.5}
price: 38
"""


@pytest.fixture
def opened(write_studio):
    def read(words="makes: 6\n", **files):
        folder = write_studio(
            {
                "studio/studio.yaml": STUDIO,
                "studio/yarns.yaml": "linen: {fibre: linen, weight: 2 kg, cost: 80, "
                "length: 10000 m, bought: 2026-01-05}\n",
                "studio/sundries.yaml": "label: {each: 0.35}\n",
                "studio/outlets.yaml": OUTLETS,
                "2026-020.yaml": NAPKINS + words,
                **files,
            }
        )
        book, problems = read_book(folder)
        assert [each for each in problems if not each.is_remark] == []
        return book, studio_flow(book), book.pieces["2026-020"]

    return read


def money(figure):
    return figure.money()


def test_six_napkins_and_one_of_them(opened):
    book, flow, piece = opened()
    sheet = cost_sheet(book, flow, piece)
    all_of_them = sheet.of_all
    assert [money(all_of_them.materials), money(all_of_them.labour), money(all_of_them.overhead),
            money(all_of_them.cost)] == [
        Decimal("21.70"), Decimal("231.00"), Decimal("37.91"), Decimal("290.61")
    ]  # fmt: skip
    assert [money(sheet.materials), money(sheet.labour), money(sheet.overhead), money(sheet.cost),
            money(sheet.worked_out_price), money(sheet.price)] == [
        Decimal("3.62"), Decimal("38.50"), Decimal("6.32"), Decimal("48.44"), Decimal("53.28"),
        Decimal("38.00"),
    ]  # fmt: skip
    assert (sheet.makes, sheet.hours.value) == (6, Fraction(7, 4))
    lines = {line.what: (line.amount, money(line.cost)) for line in sheet.material_lines}
    assert lines == {"linen": (Fraction(490, 6), Decimal("3.27")), "label": (1, Decimal("0.35"))}
    assert hourly_return(sheet, sheet.price).value == Fraction("28.06") / Fraction("1.75")


def test_every_step_of_it_can_be_done_again(opened):
    """Down to the number of napkins and the line it stands in."""
    sheet = cost_sheet(*opened())
    steps = [sheet.worked_out_price, sheet.materials, sheet.labour, sheet.overhead, sheet.hours]
    seen = []
    while steps:
        figure = steps.pop()
        seen.append(figure)
        if figure.how != "given":
            assert redo(figure.how, [term.value for term in figure.terms]) == figure.value
        steps += figure.terms
    makes = {str(each.place) for each in seen if getattr(each.what, "key", "") == "step.makes"}
    assert len(makes) == 1
    assert "2026-020.yaml" in makes.pop()


def test_one_that_makes_one_is_as_before(opened):
    one, alone = cost_sheet(*opened("makes: 1\n")), cost_sheet(*opened(""))
    assert one == alone
    assert (one.makes, one.of_all) == (1, None)


def test_the_weight_of_one_counts_for_each(opened):
    """6 x 76 g = 456 g of the 490 g; waste 34 g; what is in the cloth closes exactly."""
    book, _, piece = opened()
    held = balance(book, piece)
    assert (held.weighed, held.waste, held.is_off) == (456, 34, False)
    book, _, piece = opened("makes: 5\n")
    assert balance(book, piece).apart == -76


def test_history_counts_a_set_by_the_item(opened):
    book, flow, piece = opened()
    (history,) = histories(book, flow).values()
    assert history.area_cm2 == 2000
    assert history.hours == {
        "warping": Fraction(1, 3), "weaving": Fraction(7, 6), "finishing": Fraction(1, 4)
    }  # fmt: skip
    assert weight_of(piece) == 76
    assert metres_in(book, piece, "warp").value == Fraction(260 * 5, 6)


SALES = """makes: 6
at: {quay: 2, studio: 4}
sales:
  - {on: 2026-10-20, price: 38, at: quay}
  - {on: 2026-11-02, price: 36, at: studio, items: 2}
"""


def test_sold_one_by_one_at_two_outlets(opened):
    """38 less 45 % is 20.90; two at 36 in the studio are 72."""
    book, flow, piece = opened(SALES)
    sheet = cost_sheet(book, flow, piece)
    tax = book.studio.prices.tax
    found = [sold_by(sheet, piece, each, book.outlets, tax) for each in piece.sold]
    assert [(each.sale.count, each.at, money(each.net)) for each in found] == [
        (1, "quay", Decimal("20.90")), (2, "studio", Decimal("72.00"))
    ]  # fmt: skip
    sold = sold_there(book, flow, book.outlets["studio"])
    assert [money(each.price) for _, each in sold] == [Decimal("72.00")]
    sheets, sales = [each for _, each in sold], [each for each, _ in sold]
    result = result_of(book.outlets["studio"], sheets, book, sales)
    assert (result.count, result.taken.value, result.hours.value) == (2, 72, Fraction(7, 2))


def test_stock_and_insurance_of_what_is_left(opened):
    """21.70 of materials: three of six here are 10.85, one at the quay 3.62; sold three: 7.23 by
    the stock of 21.70 less 14.47."""
    book, flow, _ = opened(
        SALES, **{"studio/sundries.yaml": "label: {number: 6, each: 0.35, bought: 2026-01-05}\n"}
    )
    stock = stock_on(book, flow, date(2026, 11, 20))
    made = [(each.place, each.amount, money(each.cost)) for each in stock.items
            if each.key.kind == "piece"]  # fmt: skip
    assert made == [("studio", 2, Decimal("7.23")), ("quay", 1, Decimal("3.62"))]
    before = stock_on(book, flow, date(2026, 10, 10))
    assert [(each.place, each.amount) for each in before.items if each.key.kind == "piece"] == [
        ("studio", 4), ("quay", 2)
    ]  # fmt: skip
    goods = goods_sold(book, flow, date(2026, 1, 1), date(2026, 11, 20))
    assert money(goods.cost) == Decimal("21.70") - Decimal("7.23") - Decimal("3.62")
    told = [(each.place, each.items, money(each.price), money(each.cost))
            for each in insurance(book, flow, stock)]  # fmt: skip
    assert told == [
        ("studio", 2, Decimal("76.00"), Decimal("7.23")),
        ("quay", 1, Decimal("38.00"), Decimal("3.62")),
    ]


def test_a_fair_with_four_of_them(opened):
    """40 of fees; one brings 38 x 0.98 - 3.62 = 33.62: two must be sold."""
    book, flow, piece = opened()
    sheet, dale = cost_sheet(book, flow, piece), book.outlets["dale"]
    found = prospect(dale, [sheet], book, [4])
    assert (found.average.value, found.to_sell, len(found.readings)) == (38, 2, 1)


def test_own_sales_by_area_are_of_one(opened):
    """36 / 2000 cm2, beside a plain cloth of the same kind."""
    book, _, _ = opened(SALES, **{"2026-021.yaml": NAPKINS.replace("2026-020", "2026-021")})
    found = own_sales(book, book.pieces["2026-021"])
    assert (found.numbers, found.least.value) == (("2026-020",), Fraction(36, 2000))


def test_a_quotation_like_a_set_is_of_one(opened):
    """As one like a single napkin with a sixth of yarn, lining tape and hours written out."""
    more = {"studio/sundries.yaml": "label: {each: 0.35}\ntape: {length: 10 m, cost: 5}\n"}
    alone = NAPKINS + "sundries: {tape: 4 cm, label: 1}\n"
    for whole, one in (("260 g, waste: 29 g", "43 1/3 g"), ("230 g, waste: 5 g", "38 1/3 g"),
                       ("warping: 2, weaving: 7, finishing: 1.5",
                        "warping: 20 min, weaving: 70 min, finishing: 15 min")):  # fmt: skip
        alone = alone.replace(whole, one)
    found = []
    for words in ({}, {"2026-020.yaml": alone}):
        book, flow, piece = opened("makes: 6\nsundries: {tape: 24 cm, label: 6}\n", **more, **words)
        (option,) = quote(book, flow, like_piece(piece), date(2026, 11, 20), {}).options
        costs = {point: cost.price.value for point, cost in option.costs.items()}
        found.append((option.grams.value, option.hours.likely, costs,
                      [each.value for each in option.materials]))  # fmt: skip
    assert found[0] == found[1]
    assert found[0][0] > 0


@each_of(makes=st.integers(1, 40), shared=st.booleans(), weight=st.integers(1, 1900))
@settings(max_examples=25)
def test_yarn_money_and_hours_are_drawn_once(tmp_path_factory, makes, shared, weight):
    """Whatever a record makes: all that came in is in the piece or left, exactly."""
    folder = tmp_path_factory.mktemp("set") / "pieces"
    more = "shared: {with: [2026-021], by: number, hours: {warping: 4}}\n" if shared else ""
    files = {
        "studio/studio.yaml": STUDIO,
        "studio/yarns.yaml": "linen: {fibre: linen, weight: 2 kg, cost: 80}\n",
        "studio/sundries.yaml": "label: {each: 0.35}\n",
        "2026-020.yaml": f"number: 2026-020\ntitle: A\nkind: cloth\nmakes: {makes}\n"
        f"yarns: [{{use: weft, lot: linen, weight: {weight} g}}]\nhours: {{weaving: 3}}\n{more}",
        "2026-021.yaml": "number: 2026-021\ntitle: B\nkind: cloth\n"
        "yarns: [{use: weft, lot: linen, weight: 100 g}]\nhours: {weaving: 1}\n",
    }
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    book, _ = read_book(folder)
    flow = studio_flow(book)
    linen = next(key for key in flow.nodes if key.name == "linen")
    sets = [flow.loads[key] for key in flow.nodes if key.kind == "piece"]
    assert sum(load.grams[linen] for load in sets) + flow.left(linen) == 2000
    assert sum(load.hours[name] for load in sets for name in load.hours) == 4 + 4 * shared
    labels = sum(value for load in sets for key, value in load.money.items() if key.name == "label")
    assert labels == Fraction("0.35") * (makes + 1)
    if shared:
        assert sets[0].hours["warping"] == Fraction(4 * makes, makes + 1)
    sheet = cost_sheet(book, flow, book.pieces["2026-020"])
    whole = sheet.of_all or sheet
    assert abs(whole.cost.value - sheet.cost.value * makes) <= Fraction(makes, 200)
    assert whole.cost.value == whole.materials.value + whole.labour.value + whole.overhead.value
