"""The report of a year: its sales, what is owed and held, what an hour brought; then what it cost.

In: the studio and the name of a year. Out: a `Report`: tables, the year's totals with their
workings, data for JSON, the sales as a list for a spreadsheet.
"""

from collections.abc import Callable, Iterator
from functools import partial

from provenance.figures.money.sold import STUDIO, Sold
from provenance.figures.money.year import Sums, is_reckoned, year_book
from provenance.figures.working import Figure, plain
from provenance.problems import Said, Words, row, sort
from provenance.reports.report import (
    Cell,
    Column,
    Filed,
    Note,
    Part,
    Report,
    Table,
    notes,
    numbers,
    rows,
    sum_row,
)
from provenance.reports.year_data import year_data
from provenance.reports.yearly import (
    Yearly,
    losses_of,
    overhead_of,
    prompts_of,
    stock_of,
    sum_of,
)
from provenance.studio import Studio

_LIST = (
    "on", "number", "title", "kind", "at", "price", "kept_back", "tax", "tax_on_top", "net", "paid",
    "currency",
)  # fmt: skip


def year_report(studio: Studio, year: int) -> Report:
    """The book of one year."""
    it = Yearly(studio, year_book(studio.book, studio.flow, year, studio.today))
    book = it.book
    sums, overhead = book.sums, book.overhead
    figures: dict[Words, list[Figure]] = {
        Said("year.totals"): [sums.price, sums.kept_back, sums.net],
        Said("year.hourly_heading"): [each.an_hour for each in book.hourly if each.an_hour],
        Said("year.overhead"): [
            each for each in (overhead.recovered, overhead.covering) if each is not None
        ],
    }
    return Report(
        tuple(_parts(it)),
        title=_called(it),
        figures=figures,
        data=partial(year_data, it.book, it.lost, it.goods),
        rows=partial(_list, it),
        filed=Filed(f"year-{year}", Said("year.paper", year=str(year)), is_brief=True),
    )


def _called(it: Yearly) -> Said:
    """The name of a year, and its days: 2026, or 2026/27 where it runs over two."""
    first, last = it.book.first, it.book.last
    name = str(it.book.year)
    if last.year != first.year:
        name += f"/{last.year % 100:02}"
    return Said("year.title", year=name, first=first, last=last)


def _parts(it: Yearly) -> Iterator[Part]:
    if it.book.until < it.book.last:
        yield Note(Said("year.so_far", day=it.book.until), is_set_in=False)
    for part in _PARTS:
        yield from part(it)


def _heads(it: Yearly) -> tuple[str, ...]:
    """The columns of money: price, kept back, tax where there is some, net."""
    tax = it.studio.file.prices.tax.way
    middle = {"included": ("tax",), "added": ("tax_on_top",)}.get(tax, ())
    return ("price", "kept_back", *middle, "net")


def _sums(it: Yearly, sums: Sums) -> tuple[str, ...]:
    return tuple(it.money(getattr(sums, word)) for word in _heads(it))


def _columns(it: Yearly) -> tuple[Column, ...]:
    return numbers(*(Said(f"year.{word}") for word in _heads(it)))


def _sales(it: Yearly) -> Iterator[Part]:
    if not it.book.lines:
        yield Note(Said("year.no_sales"), is_apart=True, is_set_in=False)
        return
    lines: list[tuple[Words | Cell, ...]] = []
    for line in it.book.lines:
        one = line.sold
        sums = (it.money(getattr(one, word)) for word in _heads(it))
        day = Said("form.day", day=one.sale.on)
        lines.append((day, _named(one), _at(one.at), *sums))
    columns = (
        Column(Said("year.sold_on"), whole=True),
        Column(Said("year.piece"), grows=True),
        Column(Said("year.at"), least=81),
        *_columns(it),
    )
    whole = sum_row(Said("year.sold", number=it.book.sums.count), "", "", *_sums(it, it.book.sums))
    yield Table(columns, (*rows(*lines), whole), notes(*_of_sales(it), style="dim"), narrow=7)


def _of_sales(it: Yearly) -> Iterator[Words]:
    """What the columns say, and what of them is only today's terms."""
    yield Said("year.sales_words")
    if it.studio.file.prices.tax.way != "none":
        yield Said("year.tax_words")
    open_ = [each.sold for each in it.book.lines if is_reckoned(each.sold)]
    if open_:
        yield Said("year.by_terms", names=row(str(each.piece.number) for each in open_))


def _at(name: str) -> Cell:
    return Cell(Said("year.studio") if name == STUDIO else name, kind="name")


def _outlets(it: Yearly) -> Iterator[Table]:
    if not it.book.lines:
        return
    lines: list[tuple[Words | Cell, ...]] = [
        (_at(name), str(sums.count), *_sums(it, sums)) for name, sums in it.book.by_outlet.items()
    ]
    columns = (Column(Said("year.by_outlet")), *numbers(Said("year.pieces")), *_columns(it))
    yield Table(columns, rows(*lines), narrow=7)


def _months(it: Yearly) -> Iterator[Table]:
    """Months of the books, those with a sale."""
    lines: list[tuple[Words | Cell, ...]] = [
        (Said("form.days", first=first, last=last), str(sums.count), *_sums(it, sums))
        for (first, last), sums in it.book.by_month.items()
        if sums.count
    ]
    if lines:
        columns = (Column(Said("year.by_month")), *numbers(Said("year.pieces")), *_columns(it))
        yield Table(columns, rows(*lines), narrow=7)


def _named(one: Sold) -> str:
    """Number and title; of a set how many were sold."""
    items = f", {one.sale.count} ×" if one.piece.makes else ""
    return f"{one.piece.number} {one.piece.title}{items}"


def _owed(it: Yearly) -> Iterator[Table]:
    if not it.book.owed:
        return
    lines = [
        (
            Said("form.day", day=each.sold.sale.on),
            _named(each.sold),
            _at(each.sold.at),
            it.money(each.amount),
        )
        for each in it.book.owed
    ]
    columns = (
        Column(Said("year.owed"), whole=True), Column(grows=True), Column(),
        *numbers(it.book.currency),
    )  # fmt: skip
    whole = sum_row(Said("year.in_all"), "", "", it.money(sum_of([x.amount for x in it.book.owed])))
    words = notes(Said("year.owed_words"), style="dim")
    yield Table(columns, (*rows(*lines), whole), words)


def _deposits(it: Yearly) -> Iterator[Table]:
    if not it.book.deposits:
        return
    lines = []
    for each in it.book.deposits:
        client, title = each.commission.client, each.commission.title
        about = " ".join(filter(None, (str(each.commission.number), title and str(title))))
        name = str(client.name) if client and client.name else ""
        day = Said("form.day", day=each.on)
        lines.append((day, about, name, it.money(each.amount)))
    held = [each.amount for each in it.book.deposits if each.amount]
    columns = (
        Column(Said("year.deposits"), whole=True), Column(grows=True), Column(),
        *numbers(it.book.currency),
    )  # fmt: skip
    whole = sum_row(Said("year.in_all"), "", "", it.money(sum_of(held)))
    yield Table(columns, (*rows(*lines), whole), notes(Said("year.deposit_words"), style="dim"))


def _hourly(it: Yearly) -> Iterator[Table]:
    if not it.book.hourly:
        return
    found = [
        (
            sort(each.kind) if each.kind else Said("year.all_kinds"), str(each.count),
            plain(each.hours.value, 1), it.money(each.net), it.money(each.an_hour),
        )
        for each in it.book.hourly
    ]  # fmt: skip
    heads = (Said("year.pieces"), Said("year.hours"), Said("year.net"), Said("year.an_hour"))
    columns = (Column(Said("year.hourly_heading")), *numbers(*heads))
    words = notes(Said("year.hourly_words"), style="dim")
    yield Table(columns, (*rows(*found[:-1]), sum_row(*found[-1])), words, narrow=6)


def _list(it: Yearly) -> Table:
    """Every sale on a line, for a spreadsheet."""
    columns = tuple(Column(Said(f"year.list_{word}")) for word in _LIST)
    return Table(columns, rows(*map(partial(_list_row, it), range(len(it.book.lines)))))


def _list_row(it: Yearly, turn: int) -> tuple[Words, ...]:
    one = it.book.lines[turn].sold
    piece, sale = one.piece, one.sale
    sums = (one.price, one.kept_back, one.tax, one.tax_on_top, one.net)
    return (
        sale.on.isoformat(), str(piece.number), str(piece.title), str(piece.kind or ""), one.at,
        *map(it.money, sums), sale.paid.isoformat() if sale.paid else "", it.book.currency,
    )  # fmt: skip


_PARTS: tuple[Callable[[Yearly], Iterator[Part]], ...] = (
    _sales, _outlets, _months, _owed, _deposits, _hourly, overhead_of, stock_of,
    losses_of, prompts_of,
)  # fmt: skip
