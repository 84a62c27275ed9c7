"""Cost sheets from records on the disk, against sums worked by hand twice over.

The shawl: fleece of 3.0 kg in the grease for 66.00, of which 55 %, 92 % and 97 % are left after
scouring, carding and spinning; 310 g of its yarn; dyestuff 6.40, mordant 1.80, label 1.20; 32 hours
at 22.00; overhead 15 %; profit 10 %. (Computed; binary floats would give 109.09 for the overhead.)
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from provenance.figures.flow.carried import carried_money
from provenance.figures.flow.flow import Key, work_out
from provenance.figures.flow.gather import studio_flow
from provenance.figures.money.cost import cost_sheet, pay_of
from provenance.figures.money.price import area_of, hourly_return, outlet_reading, readings
from provenance.figures.working import Figure, half_up, redo
from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.records.book import read_book

DEMO = Path(__file__).parents[2] / "pieces"
SHAWL = {
    "studio/studio.yaml": "studio: Brackenfold\nmaker: Isla Wren\npay: {any: 22}\n"
    "overhead: 15 %\nprofit: 10 %\n",
    "studio/fleece.yaml": "gotland-2025:\n  weight: 3.0 kg\n  cost: 66.00\n"
    "  scoured: 55 %\n  carded: 92 %\n  spun: 97 %\n",
    "studio/yarns.yaml": "gotland: {fleece: {gotland-2025: 3.0 kg}}\n",
    "studio/dyestuffs.yaml": "madder: {weight: 155 g, cost: 6.40}\n",
    "studio/mordants.yaml": "alum: {weight: 31 g, cost: 1.80}\n",
    "studio/sundries.yaml": "label: {each: 1.20}\n",
    "2026-001-shawl.yaml": "number: 2026-001\ntitle: Ebb\nkind: shawl\nsize: 180 x 60 cm\n"
    "yarns:\n  - {use: warp and weft, lot: gotland, weight: 310 g, dyes: {madder: 50 %}, "
    "mordants: {alum: 10 %}}\n"
    "sundries: {label: 1}\nhours: {weaving: 32}\nprice: 680\n",
}


@pytest.fixture
def opened(tmp_path):
    def read(changes):
        for name, text in {**SHAWL, **changes}.items():
            path = tmp_path / "pieces" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        book, problems = read_book(tmp_path / "pieces")
        assert [told(problem, british()) for problem in problems] == []
        return book, studio_flow(book)

    return read


def sheet_of(opened, changes, number="2026-001"):
    book, flow = opened(changes)
    return cost_sheet(book, flow, book.pieces[number])


def test_the_shawl_to_the_digit(opened):
    sheet = sheet_of(opened, {})
    lines = {line.what: line.cost.money() for line in sheet.material_lines}
    assert lines == {
        "gotland-2025": Decimal("13.90"),
        "madder": Decimal("6.40"),
        "alum": Decimal("1.80"),
        "label": Decimal("1.20"),
    }
    assert sheet.materials.money() == Decimal("23.30")
    assert sheet.labour.money() == Decimal("704.00")
    assert sheet.overhead.money() == Decimal("109.10")
    assert sheet.cost.money() == Decimal("836.40")
    assert sheet.worked_out_price.money() == Decimal("920.04")
    assert (sheet.price.money(), sheet.has_own_price) == (Decimal("680.00"), True)
    assert str(sheet.price.money(sheet.minor)) == "680.00"


def test_yarn_costs_what_its_fleece_cost_by_the_kilogram(opened):
    _, flow = opened({})
    yarn, fleece = Key("yarn", "gotland"), Key("fleece", "gotland-2025")
    assert flow.nodes[yarn].holds == Fraction("1472.46")
    a_kilogram = carried_money(flow, yarn, fleece).value * 1000 / Fraction("1472.46")
    assert half_up(a_kilogram, 3) == Decimal("44.823")


def test_yarn_written_in_place_costs_the_same_as_yarn_from_a_lot(opened):
    piece = SHAWL["2026-001-shawl.yaml"].replace("lot: gotland,", "fleece: gotland-2025,")
    sheet = sheet_of(opened, {"2026-001-shawl.yaml": piece, "studio/yarns.yaml": ""})
    fleece = next(line for line in sheet.material_lines if line.kind == "fleece")
    assert fleece.cost.money() == Decimal("13.90")
    assert half_up(fleece.amount, 1) == Decimal("631.6")  # 310 / (0.55 x 0.92 x 0.97)


def test_price_is_rounded_up_as_set_and_the_own_price_wins(opened):
    studio = SHAWL["studio/studio.yaml"] + "prices: {round up to: 5}\n"
    sheet = sheet_of(opened, {"studio/studio.yaml": studio})
    assert sheet.worked_out_price.value == 925
    assert sheet.price.value == 680
    piece = SHAWL["2026-001-shawl.yaml"].replace("price: 680\n", "")
    sheet = sheet_of(opened, {"studio/studio.yaml": studio, "2026-001-shawl.yaml": piece})
    assert (sheet.price.value, sheet.has_own_price) == (925, False)


def test_a_piece_without_hours_costs_its_materials_and_earns_nothing_an_hour(opened):
    piece = SHAWL["2026-001-shawl.yaml"].replace("hours: {weaving: 32}\n", "")
    book, flow = opened({"2026-001-shawl.yaml": piece})
    sheet = cost_sheet(book, flow, book.pieces["2026-001"])
    assert (sheet.labour_lines, sheet.labour.value, sheet.hours.value) == ((), 0, 0)
    assert sheet.cost.value == Fraction("26.80")  # 23.30 and 15 %
    assert hourly_return(sheet, sheet.price) is None


def test_overhead_by_the_hour(opened):
    studio = SHAWL["studio/studio.yaml"].replace("15 %", "4.10 per hour")
    assert sheet_of(opened, {"studio/studio.yaml": studio}).overhead.value == Fraction("131.20")


def test_pay_by_activity_and_hours_that_are_not_paid(opened):
    studio = SHAWL["studio/studio.yaml"].replace("{any: 22}", "{any: 18, weaving: 22, design: 0}")
    piece = SHAWL["2026-001-shawl.yaml"].replace(
        "{weaving: 32}", "{weaving: 10, fringe: 2 h 30 min, design: 6}"
    )
    book, flow = opened({"studio/studio.yaml": studio, "2026-001-shawl.yaml": piece})
    sheet = cost_sheet(book, flow, book.pieces["2026-001"])
    paid = {line.activity: line.cost.value for line in sheet.labour_lines}
    assert paid == {"weaving": 220, "fringe": 45, "design": 0}
    assert {
        activity: (pay_of(book.studio, activity).value, pay_of(book.studio, activity).place.short)
        for activity in ("weaving", "fringe", "design")
    } == {name: (pay, "pieces/studio/studio.yaml:3") for name, pay in
          {"weaving": 22, "fringe": 18, "design": 0}.items()}  # fmt: skip
    assert sheet.hours.value == Fraction("18.5")


def test_where_no_pay_is_set_work_costs_nothing(opened):
    studio = SHAWL["studio/studio.yaml"].replace("pay: {any: 22}\n", "")
    book, flow = opened({"studio/studio.yaml": studio})
    sheet = cost_sheet(book, flow, book.pieces["2026-001"])
    assert (sheet.labour.value, sheet.hours.value) == (0, 32)
    assert (pay_of(book.studio, "weaving").value, pay_of(book.studio, "weaving").place) == (0, None)


def test_without_overhead_the_cost_is_materials_and_labour(opened):
    studio = SHAWL["studio/studio.yaml"].replace("overhead: 15 %\n", "")
    sheet = sheet_of(opened, {"studio/studio.yaml": studio})
    assert (sheet.overhead.value, sheet.cost.value) == (0, Fraction("727.30"))


def test_a_currency_without_small_coins_is_rounded_to_whole_ones(opened):
    studio = SHAWL["studio/studio.yaml"] + "currency: JPY\n"
    sheet = sheet_of(opened, {"studio/studio.yaml": studio})
    assert [line.cost.value for line in sheet.material_lines] == [14, 6, 2, 1]
    assert str(sheet.materials.money(sheet.minor)) == "23"


def test_sundries_are_counted_or_measured(opened):
    """Two labels at 1.20; 50 cm of 5 m that cost 42; every other line is in grams."""
    sundries = "label: {each: 1.20}\nlining: {fibre: cotton, length: 5 m, cost: 42}\n"
    piece = SHAWL["2026-001-shawl.yaml"].replace("{label: 1}", "{label: 2, lining: 50 cm}")
    sheet = sheet_of(opened, {"studio/sundries.yaml": sundries, "2026-001-shawl.yaml": piece})
    lines = [(line.what, line.amount, line.unit, line.cost.value) for line in sheet.material_lines]
    assert lines[1:] == [
        ("madder", 155, "g", Fraction("6.40")),
        ("alum", 31, "g", Fraction("1.80")),
        ("label", 2, "", Fraction("2.40")),
        ("lining", 50, "cm", Fraction("4.20")),
    ]


def test_grams_that_nobody_paid_for_cost_nothing(opened):
    book, flow = opened({})
    nodes = {
        key: replace(node, own=replace(node.own, money={})) if key.kind == "fleece" else node
        for key, node in flow.nodes.items()
    }
    gift = work_out(nodes, [draw for draws in flow.into.values() for draw in draws])
    line = cost_sheet(book, gift, book.pieces["2026-001"]).material_lines[0]
    assert (line.what, line.cost.value, line.cost.unit) == ("gotland-2025", 0, "GBP")
    assert half_up(line.amount, 1) == Decimal("631.6")


def test_ten_towels_share_the_warping(opened):
    """32 h 15 min over ten towels, by number, are 3.225 h each (computed)."""
    numbers = [f"2026-{turn:03}" for turn in range(10, 20)]
    towels = {
        f"{number}.yaml": f"number: {number}\ntitle: Towel\nyarns: []\nhours: {{hemming: 1}}\n"
        for number in numbers
    }
    towels["2026-010.yaml"] += (
        f"shared: {{with: [{', '.join(numbers[1:])}], hours: {{warping: 32 h 15 min}}}}\n"
    )
    book, flow = opened(towels)
    for number in numbers:
        sheet = cost_sheet(book, flow, book.pieces[number])
        assert sheet.hours.value == Fraction("3.225") + 1


def test_work_shared_by_length_and_by_weight(opened):
    pieces = {
        "2026-010.yaml": "number: 2026-010\ntitle: Long\nsize: 300 x 60 cm\nweight: 300 g\n"
        "shared: {with: 2026-011, by: length, hours: {warping: 8}}\n",
        "2026-011.yaml": "number: 2026-011\ntitle: Short\nsize: 100 x 60 cm\nweight: 500 g\n",
    }
    _, flow = opened(pieces)
    assert flow.loads[Key("piece", "2026-010")].hours["warping"] == 6
    assert flow.loads[Key("piece", "2026-011")].hours["warping"] == 2
    by_weight = pieces["2026-010.yaml"].replace("length", "weight")
    _, flow = opened({**pieces, "2026-010.yaml": by_weight})
    assert flow.loads[Key("piece", "2026-010")].hours["warping"] == 3
    lost = pieces["2026-011.yaml"].replace("size: 100 x 60 cm\n", "")
    _, flow = opened({**pieces, "2026-011.yaml": lost})
    assert flow.loads[Key("piece", "2026-010")].hours["warping"] == 4


def test_every_figure_of_the_demo_studio_can_be_worked_again():
    book, _ = read_book(DEMO)
    flow, done = studio_flow(book), {}
    places = 0
    for piece in book.pieces.values():
        sheet = cost_sheet(book, flow, piece)
        figures = [sheet.worked_out_price, sheet.price]
        for outlet in book.outlets.values():
            reading = outlet_reading(sheet, outlet, book.studio.prices.tax)
            figures += [reading.net, reading.hourly, reading.to_earn_the_pay]
            figures += [reading.must_bring]
        read = readings(sheet, area_of(piece))
        figures += [read.per_cm2, read.per_square_metre, read.per_square_foot]
        places += sum(worked_again(figure, done) for figure in figures if figure is not None)
        printed = sum(line.cost.value for line in sheet.material_lines)
        assert printed == sheet.materials.value
        assert printed + sheet.labour.value + sheet.overhead.value == sheet.cost.value
    assert places > 1000


def worked_again(figure: Figure, done: dict[int, tuple[int, Figure]]) -> int:
    """Repeat every step, each figure once; how many given numbers know their place in a record."""
    if id(figure) not in done:
        if figure.how == "given":
            places = figure.place is not None and figure.place.line > 0
        else:
            again = redo(figure.how, [term.value for term in figure.terms])
            assert again == figure.value, figure.what
            places = sum(worked_again(term, done) for term in figure.terms)
        done[id(figure)] = places, figure  # kept, so that no other figure gets its number
    return done[id(figure)][0]
