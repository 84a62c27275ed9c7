"""A year of a studio's books: what was sold, what is owed and held, what an hour brought.

In: the book, its flow, the name of a year, today. Out: a `YearBook`, whose sums add the rounded
lines of its sales. A year is the studio's own (records/tax_year.py). Sold is what has a sale on one
of its days. Owed is what a gallery, guild shop, shop or show sold in the year or the one before and
no record notes as `paid`: price less what was kept back. Held are the first instalments of accepted
commissions that are not delivered. Overhead is recovered by what is sold. Figures, no advice.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from provenance.figures.flow.flow import Flow
from provenance.figures.money.cost import CostSheet, cost_sheet
from provenance.figures.money.sold import Sold, at_sale_price, sold
from provenance.figures.money.terms import tax_on_top
from provenance.figures.quotation.price import IN_HALVES, instalments
from provenance.figures.stock.stock import CONSIGNED
from provenance.figures.working import Figure, difference, given, quotient, total
from provenance.problems import Said, named
from provenance.records.book import Book
from provenance.records.commissions import Commission
from provenance.records.quantities import Rate
from provenance.reference.currencies import minor_unit


@dataclass(frozen=True, slots=True)
class SaleLine:
    """One sale of the year, with the cost sheet of all that was sold with it."""

    sold: Sold
    sheet: CostSheet


@dataclass(frozen=True, slots=True)
class Sums:
    """Sums over sales: what was paid, kept back, tax inside prices and on top of them, net."""

    count: int
    price: Figure
    kept_back: Figure
    tax: Figure
    tax_on_top: Figure
    net: Figure


@dataclass(frozen=True, slots=True)
class Owed:
    """What an outlet still owes for a sale, or the sale is not noted as paid."""

    sold: Sold
    amount: Figure


@dataclass(frozen=True, slots=True)
class Deposit:
    """The first instalment of an accepted commission; `amount` is None without an agreed price."""

    commission: Commission
    on: date
    amount: Figure | None


@dataclass(frozen=True, slots=True)
class Hourly:
    """What the hours of one kind of work brought; `an_hour` is None where none is noted."""

    kind: str
    count: int
    net: Figure
    hours: Figure
    an_hour: Figure | None


@dataclass(frozen=True, slots=True)
class Overhead:
    """What the sold pieces brought in for overhead, what it really cost, and the rate that would
    have covered it: a share, or an amount for an hour as the studio file has it."""

    recovered: Figure
    paid: Figure | None
    covering: Figure | None


@dataclass(frozen=True, slots=True)
class YearBook:
    """The book of one year; `until` is its last day, or today while it runs."""

    year: int
    first: date
    last: date
    until: date
    currency: str
    lines: tuple[SaleLine, ...]
    sums: Sums
    by_outlet: dict[str, Sums]
    by_month: dict[tuple[date, date], Sums]
    owed: tuple[Owed, ...]
    deposits: tuple[Deposit, ...]
    overhead: Overhead
    hourly: tuple[Hourly, ...]


def year_book(book: Book, flow: Flow, year: int, today: date) -> YearBook:
    """The book of a year."""
    studio, money = book.studio, str(book.studio.currency)
    first, last = studio.tax_year.first(year), studio.tax_year.last(year)
    until = max(first, min(last, today))
    before = studio.tax_year.first(year - 1)
    both = tuple(_lines(book, flow, before, last))
    lines = tuple(line for line in both if first <= line.sold.sale.on <= last)
    sales = [line.sold for line in lines]
    outlets = dict.fromkeys(each.at for each in sales)
    months = studio.tax_year.months(year)
    return YearBook(
        year, first, last, until, money, lines, sums_of(sales, money),
        {name: sums_of([each for each in sales if each.at == name], money) for name in outlets},
        {span: sums_of(_within(sales, *span), money) for span in months},
        tuple(_owed(both, until)), tuple(deposits(book, until)),
        _overhead(book, lines, year), _hourly(lines, money),
    )  # fmt: skip


def _lines(book: Book, flow: Flow, first: date, last: date) -> Iterator[SaleLine]:
    """Every sale from the first to the last day, in order of day and number."""
    tax, found = book.studio.prices.tax, list[SaleLine]()
    for piece in book.pieces.values():
        for sale in piece.sold:
            if first <= sale.on <= last:
                sheet = cost_sheet(book, flow, piece)
                one = sold(sheet, piece, sale, book.outlets, tax)
                found.append(SaleLine(one, at_sale_price(sheet, one)))
    yield from sorted(found, key=lambda each: (each.sold.sale.on, str(each.sold.piece.number)))


def _within(sales: Iterable[Sold], first: date, last: date) -> list[Sold]:
    return [each for each in sales if first <= each.sale.on <= last]


def sums_of(sales: Sequence[Sold], money: str) -> Sums:
    """The sums of some sales."""

    def of(word: str, figures: list[Figure]) -> Figure:
        return total(Said(f"step.{word}"), figures, money)

    return Sums(
        sum(each.sale.count for each in sales),
        of("taken", [each.price for each in sales]),
        of("all_kept_back", [each.kept_back for each in sales]),
        of("tax", [each.tax for each in sales]),
        of("tax", [each.tax_on_top for each in sales]),
        of("net", [each.net for each in sales]),
    )


def is_consigned(one: Sold) -> bool:
    """Whether the money came to the outlet first: a gallery, guild, shop or show."""
    return one.outlet is not None and one.outlet.kind in CONSIGNED


def is_reckoned(one: Sold) -> bool:
    """Whether what such an outlet kept back is by its terms of today, and could be noted."""
    return is_consigned(one) and not one.is_noted and bool(one.kept_back.value)


def _owed(lines: Iterable[SaleLine], until: date) -> Iterator[Owed]:
    """What outlets sold by a day, and no record notes as paid by then."""
    for line in lines:
        one, paid = line.sold, line.sold.sale.paid
        if one.sale.on <= until and is_consigned(one) and (paid is None or paid > until):
            said = Said("step.owed_for", piece=one.piece.number)
            yield Owed(one, difference(said, one.price, one.kept_back))


def owed(book: Book, flow: Flow, until: date) -> Iterator[Owed]:
    """The same of every year."""
    for piece in book.pieces.values():
        for sale in piece.sold:
            outlet = book.outlets.get(str(sale.at or ""))
            if sale.paid is None and outlet and outlet.kind in CONSIGNED:
                sheet = cost_sheet(book, flow, piece)
                one = sold(sheet, piece, sale, book.outlets, book.studio.prices.tax)
                yield from _owed([SaleLine(one, at_sale_price(sheet, one))], until)


def deposits(book: Book, until: date) -> Iterator[Deposit]:
    """What clients have paid in advance by a day, by what was agreed."""
    for commission in book.commissions.values():
        agreed, status = commission.accepted, commission.status
        if agreed is None or agreed.on > until or status in ("declined", "lapsed"):
            continue
        piece = book.pieces.get(str(agreed.piece)) if agreed.piece else None
        sales = piece.sold if piece else ()
        is_closed = status == "finished" and not sales
        if not is_closed and not any(sale.on <= until for sale in sales):
            yield Deposit(commission, agreed.on, _first_part(book, commission))


def _first_part(book: Book, commission: Commission) -> Figure | None:
    """The first instalment of all that was agreed: price, extras, tax on top."""
    studio, agreed = book.studio, commission.accepted
    if agreed is None or agreed.price is None:
        return None
    money = str(studio.currency)
    price = given(Said("step.price_agreed"), agreed.price, money, agreed.price.place)
    extras = [
        given(named("extra", str(word)), amount, money, amount.place)
        for word, amount in commission.extras.items()
    ]
    asked = total(Said("step.price_and_extras"), [price, *extras], money)
    added = tax_on_top(asked, studio.prices.tax, minor_unit(money))
    whole = total(Said("step.to_pay"), [asked, added], money)
    return instalments(whole, commission.pay_in or IN_HALVES)[0]


def _overhead(book: Book, lines: Sequence[SaleLine], year: int) -> Overhead:
    studio, money = book.studio, str(book.studio.currency)
    sheets = [line.sheet for line in lines]
    said = Said("step.recovered")
    recovered = total(said, [sheet.overhead for sheet in sheets], money)
    amount = studio.overhead_paid.get(year)
    if amount is None:
        return Overhead(recovered, None, None)
    paid = given(Said("step.overhead_paid"), amount, money, amount.place)
    if isinstance(studio.overhead, Rate):
        base = total(Said("step.hours"), [sheet.hours for sheet in sheets], "h")
    else:
        spent = [figure for sheet in sheets for figure in (sheet.materials, sheet.labour)]
        base = total(Said("step.materials_and_labour"), spent, money)
    unit = "an hour" if isinstance(studio.overhead, Rate) else ""
    what = Said("step.covering")
    return Overhead(recovered, paid, quotient(what, paid, base, unit=unit) if base.value else None)


def _hourly(lines: Sequence[SaleLine], money: str) -> tuple[Hourly, ...]:
    """What an hour brought, by kind of work, and at last of all."""
    kinds = sorted({str(line.sold.piece.kind or "other") for line in lines})
    found = [
        _hour_of(
            kind, [line for line in lines if str(line.sold.piece.kind or "other") == kind], money
        )
        for kind in kinds
    ]
    return (*found, _hour_of("", lines, money)) if found else ()


def _hour_of(kind: str, lines: Sequence[SaleLine], money: str) -> Hourly:
    sheets = [line.sheet for line in lines]

    def of(word: str, figures: list[Figure], unit: str = money) -> Figure:
        return total(Said(f"step.{word}"), figures, unit)

    net = of("net", [line.sold.net for line in lines])
    hours = of("hours", [sheet.hours for sheet in sheets], "h")
    spent = (
        of("materials", [sheet.materials for sheet in sheets]),
        of("overhead", [sheet.overhead for sheet in sheets]),
    )
    kept = difference(Said("step.for_hours"), net, *spent)
    an_hour = quotient(Said("step.hourly"), kept, hours, unit="an hour") if hours.value else None
    count = sum(line.sold.sale.count for line in lines)
    return Hourly(kind, count, net, hours, an_hour)
