"""The year's book, worked by hand.

Yarn at 100 a kilogram, 100 g in every piece: 10. Pay 20 an hour, overhead 10 %. A scarf takes 2 h:
40, overhead 5. A rug takes 10 h: 200, overhead 21. The year runs as the studio file says, from
6 April to 5 April, and is called by the year it begins in.
"""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given as trying
from hypothesis import settings
from hypothesis import strategies as st

from provenance.figures.flow.gather import studio_flow
from provenance.figures.money.losses import losses
from provenance.figures.money.year import year_book
from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.problems import Slip
from provenance.records import quantities as q
from provenance.records.book import read_book
from provenance.records.sales import Sale
from provenance.records.tax_year import TaxYear, read_tax_year, read_year
from provenance.records.text import Written

TODAY = date(2027, 6, 1)
PIECE = """number: 2026-00{turn}
title: Ebb
kind: {kind}
size: 100 x 50 cm
finished: 2026-03-01
yarns: [{{use: weft, lot: plain, weight: 100 g}}]
hours: {{weaving: {hours}}}
price: 480
sale: {sale}
"""
SALES = (
    ("scarf", 2, "{on: 2026-04-05, price: 100}"),
    ("scarf", 2, "{on: 2026-04-06, price: 100, at: dale}"),
    ("rug", 10, "{on: 2027-04-05, price: 480, at: quay, kept back: 216.00}"),
    ("rug", 10, "{on: 2027-04-06, price: 480, at: quay}"),
)
FILES = {
    "studio/studio.yaml": "studio: Brackenfold\nmaker: Isla Wren\npay: {any: 20}\n"
    "overhead: 10 %\noverhead paid: {2026: 39.00}\ntax year: 6 April\n",
    "studio/yarns.yaml": "plain: {fibre: wool, weight: 1 kg, cost: 100, lost: 50 g}\n",
    "studio/outlets.yaml": "dale: {kind: fair, card fee: 1.75 % + 0.20}\n"
    "quay: {kind: gallery, commission: 50 %}\n",
    **{
        f"2026-00{turn}.yaml": PIECE.format(turn=turn, kind=kind, hours=hours, sale=sale)
        for turn, (kind, hours, sale) in enumerate(SALES, 1)
    },
}


@pytest.fixture
def opened(write_studio):
    def read(**more):
        files = {f"{name.replace('__', '/')}.yaml": text for name, text in more.items()}
        book, problems = read_book(write_studio({**FILES, **files}))
        assert [told(each, british()) for each in problems] == []
        return book, studio_flow(book)

    return read


def test_the_british_year_begins_on_the_6th_of_april(opened):
    """5 April belongs to the year before, 6 April and the next 5 April to this one."""
    found = {year: year_book(*opened(), year, TODAY) for year in (2025, 2026, 2027)}
    sold = {year: [str(each.sold.piece.number) for each in it.lines] for year, it in found.items()}
    assert sold == {2025: ["2026-001"], 2026: ["2026-002", "2026-003"], 2027: ["2026-004"]}
    assert (found[2026].first, found[2026].last) == (date(2026, 4, 6), date(2027, 4, 5))


def test_sums_of_the_year(opened):
    """100 less 1.75 + 0.20 = 98.05; 480 less 216 really kept back = 264; together 362.05."""
    it = year_book(*opened(), 2026, TODAY)
    sums = it.sums
    assert [each.money() for each in (sums.price, sums.kept_back, sums.net)] == [
        Decimal("580.00"), Decimal("217.95"), Decimal("362.05"),
    ]  # fmt: skip
    assert {name: each.net.money() for name, each in it.by_outlet.items()} == {
        "dale": Decimal("98.05"), "quay": Decimal("264.00"),
    }  # fmt: skip
    months = {first.isoformat(): each.count for (first, _), each in it.by_month.items()}
    assert {month: count for month, count in months.items() if count} == {
        "2026-04-06": 1, "2027-03-06": 1,
    }  # fmt: skip


def test_what_an_hour_brought_by_kind(opened):
    """Scarf (98.05 - 10 - 5) / 2; rug (264 - 10 - 21) / 10; all (362.05 - 20 - 26) / 12."""
    it = year_book(*opened(), 2026, TODAY)
    assert [(each.kind, each.an_hour.value) for each in it.hourly] == [
        ("rug", Fraction("23.3")), ("scarf", Fraction("41.525")),
        ("", Fraction("316.05") / 12),
    ]  # fmt: skip


def test_overhead_against_what_it_really_was(opened):
    """5 + 21 = 26 came in, 39 went out; on 10 + 40 + 10 + 200 = 260 it would have been 15 %."""
    found = year_book(*opened(), 2026, TODAY).overhead
    assert (found.recovered.value, found.paid.value) == (26, 39)
    assert found.covering.value == Fraction("0.15")
    assert year_book(*opened(), 2025, TODAY).overhead.paid is None


def test_overhead_by_the_hour(opened):
    """39 over 2 + 10 hours is 3.25 an hour."""
    by_hour = FILES["studio/studio.yaml"].replace("overhead: 10 %", "overhead: 2.00 per hour")
    found = year_book(*opened(studio__studio=by_hour), 2026, TODAY).overhead
    assert (found.recovered.value, found.covering.value) == (24, Fraction("3.25"))


@pytest.mark.parametrize(
    ("paid", "owed"),
    [
        ("", ["264.00"]),
        (", paid: 2027-04-05", []),
        (", paid: 2027-04-06", ["264.00"]),  # it came after the last day of the year
    ],
)
def test_a_gallery_owes_what_is_not_noted_as_paid(opened, paid, owed):
    """480 - 216; a fair owes nothing, the money was taken there."""
    sale = SALES[2][2].replace("}", paid + "}")
    text = PIECE.format(turn=3, kind="rug", hours=10, sale=sale)
    it = year_book(*opened(**{"2026-003": text}), 2026, TODAY)
    assert [str(each.amount.money()) for each in it.owed] == owed


def test_what_is_owed_goes_back_one_year(opened):
    """Sold on 5 April 2027 and not paid: owed in 2026 and in 2027, no more in 2028."""
    book, flow = opened()
    later = date(2030, 1, 1)
    numbers = {
        year: [str(each.sold.piece.number) for each in year_book(book, flow, year, later).owed]
        for year in (2025, 2026, 2027, 2028, 2029)
    }
    assert numbers == {
        2025: [], 2026: ["2026-003"], 2027: ["2026-003", "2026-004"], 2028: ["2026-004"], 2029: [],
    }  # fmt: skip


COMMISSION = """number: 2026-C01
like: 2026-003
sizes: 100 x 50 cm
extras: {{delivery: 100}}
pay in: thirds
status: {status}
accepted: {{on: 2026-05-01, price: 900{piece}}}
"""


@pytest.mark.parametrize(
    ("status", "piece", "tax", "held"),
    [
        ("accepted", "", "", ["333.00"]),  # 1,000 in thirds, whole pounds
        ("accepted", "", "prices: {tax: added 8 %}\n", ["360.00"]),  # 1,080 in thirds
        ("accepted", ", piece: 2026-003", "", ["333.00"]),  # delivered on the year's last day
        ("accepted", ", piece: 2026-002", "", []),
        ("finished", "", "", []),
        ("finished", ", piece: 2026-003", "", ["333.00"]),  # it was still held on that day
        ("declined", "", "", []),
    ],
)
def test_the_first_part_of_a_commission_is_held_until_it_is_delivered(
    opened, status, piece, tax, held
):
    files = {
        "commissions__2026-C01": COMMISSION.format(status=status, piece=piece),
        "studio__studio": FILES["studio/studio.yaml"] + tax,
    }
    found = year_book(*opened(**files), 2026, date(2027, 4, 4)).deposits
    assert [str(each.amount.money()) for each in found] == held


def test_what_is_lost_stands_at_what_was_paid(opened):
    """50 g of a kilogram for 100: 5, and nobody noted the day."""
    book, flow = opened()
    (found,) = losses(book, flow, date(2026, 4, 6), date(2027, 4, 5))
    assert (found.key.name, found.amount, found.cost.money(), found.on) == (
        "plain", 50, Decimal("5.00"), None,
    )  # fmt: skip


@pytest.mark.parametrize(("year", "lost"), [(2025, []), (2026, [("dark", "1.00")])])
def test_what_was_lost_in_a_bath_has_its_day(opened, year, lost):
    """10 g of 100 g out of a bath of April 2026; the 100 g had cost 10."""
    bath = "date: 2026-04-10\ndyed: [{yarn: plain, weight: 100 g, becomes: dark}]\n"
    yarns = FILES["studio/yarns.yaml"].replace(", lost: 50 g", "")
    more = {"dyebook__one": bath + "fibre also lost: 10 g\n", "studio__yarns": yarns}
    book, flow = opened(**more)
    span = book.studio.tax_year.first(year), book.studio.tax_year.last(year)
    found = losses(book, flow, *span)
    assert [(each.key.name, str(each.cost.money())) for each in found] == lost


def test_a_piece_that_is_no_more_is_lost_on_the_last_day_of_its_history(opened):
    text = PIECE.format(turn=1, kind="rug", hours=1, sale="")
    text += (
        "status: withdrawn\nhistory: [{on: 2026-05-01, event: Moth}, {on: 2026-06, event: Aired}]\n"
    )
    found = losses(*opened(**{"2026-001": text}), date(2026, 4, 6), date(2027, 4, 5))
    assert [(each.key.name, each.cost.value, each.on) for each in found][-1] == (
        "2026-001", 10, date(2026, 5, 1),
    )  # fmt: skip


@pytest.fixture(scope="module")
def studio(tmp_path_factory):
    folder = tmp_path_factory.mktemp("year") / "pieces"
    for name, text in FILES.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text)
    book, _ = read_book(folder)
    return book, studio_flow(book)


A_SALE = st.tuples(
    st.dates(date(2024, 1, 1), date(2028, 12, 31)),
    st.integers(0, 10**6), st.integers(0, 10**5), st.sampled_from(["dale", "quay", None]),
)  # fmt: skip
YEARS = range(2023, 2029)


@settings(max_examples=25, deadline=None)
@trying(
    st.lists(A_SALE, min_size=4, max_size=4), st.sampled_from([(1, 1), (4, 6), (7, 1), (1, 31)])
)
def test_months_add_to_the_year_and_years_to_everything(studio, sales, begins):
    """Every sale is in one year and in one of its months; sums are those of the lines."""
    book, flow = studio
    pieces = {
        number: piece.model_copy(update={"sale": _sale(*sale)})
        for (number, piece), sale in zip(book.pieces.items(), sales, strict=True)
    }
    file = book.studio.model_copy(update={"tax_year": TaxYear(*begins)})
    book = replace(book, pieces=pieces, studio=file)
    years = [year_book(book, flow, year, date(2030, 1, 1)) for year in YEARS]
    for it in years:
        for word in ("price", "kept_back", "net"):
            lines = sum((getattr(each.sold, word).value for each in it.lines), Fraction(0))
            groups = [it.by_month, it.by_outlet]
            sums = [sum(getattr(each, word).value for each in group.values()) for group in groups]
            assert [getattr(it.sums, word).value, *sums] == [lines] * 3
        assert all(it.first <= each.sold.sale.on <= it.last for each in it.lines)
    assert sum(it.sums.count for it in years) == 4
    assert sum(it.sums.price.value for it in years) == Fraction(sum(s[1] for s in sales), 100)


def _sale(on, price, kept, at):
    words = {"price": q.Money(Fraction(price, 100)), "kept_back": q.Money(Fraction(kept, 100))}
    return Sale.model_construct(on=on, at=Written(at) if at else None, **words)


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("calendar", date(2026, 1, 1)), ("6 April", date(2026, 4, 6)),
        ("April 6", date(2026, 4, 6)), ("1 Jul", date(2026, 7, 1)),
        ("1. october", date(2026, 10, 1)),
    ],
)  # fmt: skip
def test_first_days_of_years(typed, first):
    year = read_tax_year(Written(typed))
    assert year.first(2026) == first
    assert year.last(2025) == first - timedelta(days=1)
    assert (year.of(first), year.of(first - timedelta(days=1))) == (2026, 2025)
    assert len(year.months(2026)) == 12
    assert (year.months(2026)[0][0], year.months(2026)[-1][1]) == (first, year.last(2026))


@pytest.mark.parametrize("typed", ["29 February", "31 April", "6 J", "April", "2026-04-06", ""])
def test_what_begins_no_year(typed):
    with pytest.raises(Slip) as slip:
        read_tax_year(Written(typed))
    assert british().tell(slip.value.remedy) == "write '6 April', '1 July' or calendar"


@pytest.mark.parametrize(
    ("typed", "year"), [("2026", 2026), ("2026/27", 2026), ("2026-2027", 2026)]
)
def test_names_of_years(typed, year):
    assert read_year(typed) == year


@pytest.mark.parametrize("typed", ["26", "2026/28", "soon", "2026/7"])
def test_what_is_no_year(typed):
    with pytest.raises(Slip):
        read_year(typed)
