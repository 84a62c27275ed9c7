"""What a year cost, and what to ask of it: overhead, stock or purchases, losses, questions.

In: a year's book. Out: the second half of its report, in tables and notes; `Yearly`, which both
halves are written from. Stock is worked out only where the studio file counts by accruals. What the
tax office may want is told as questions, with their source.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from provenance.figures.money.losses import Loss, losses
from provenance.figures.money.year import YearBook
from provenance.figures.stock.stock import GoodsSold, bought_between, goods_sold
from provenance.figures.working import Figure
from provenance.problems import Said, Words
from provenance.records.quantities import Rate
from provenance.reference.books import book_prompts, checked
from provenance.reference.currencies import minor_unit
from provenance.reference.sourced import cited
from provenance.reports.report import (
    Cell,
    Column,
    Note,
    Table,
    account,
    amount,
    money,
    notes,
    numbers,
    per_cent,
    rows,
    sum_row,
)
from provenance.studio import Studio


@dataclass(frozen=True, eq=False)
class Yearly:
    """A year's book, and what its report is written from."""

    studio: Studio
    book: YearBook

    @cached_property
    def lost(self) -> tuple[Loss, ...]:
        return losses(self.studio.book, self.studio.flow, self.book.first, self.book.until)

    @cached_property
    def goods(self) -> GoodsSold | None:
        """Opening, bought, closing; only where the books count by accruals."""
        if self.studio.file.books != "accruals":
            return None
        return goods_sold(self.studio.book, self.studio.flow, self.book.first, self.book.until)

    @cached_property
    def bought(self) -> tuple[Figure, ...]:
        """What was paid for in the year, by kind."""
        studio, book = self.studio, self.book
        return bought_between(studio.book, studio.flow, book.first, book.until)

    def money(self, value: Figure | Fraction | None) -> str:
        return money(value, minor_unit(self.book.currency))


def sum_of(figures: list[Figure]) -> Fraction:
    """Figures added."""
    return sum((figure.value for figure in figures), Fraction(0))


def overhead_of(it: Yearly) -> Iterator[Table]:
    """Overhead that came in with what was sold, beside what it really was."""
    overhead, heading = it.book.overhead, Said("year.overhead")
    recovered = (Said("year.recovered"), it.money(overhead.recovered))
    if overhead.paid is None:
        words: Words = Said("year.no_overhead", year=str(it.book.year))
        yield account(heading, (it.book.currency,), *rows(recovered), words=words)
        return
    gap = overhead.recovered.value - overhead.paid.value
    paid = (Said("year.paid"), it.money(overhead.paid))
    word = "year.more" if gap >= 0 else "year.short"
    whole = sum_row(Said(word), it.money(abs(gap)))
    yield account(heading, (it.book.currency,), *rows(recovered, paid), whole, words=_rate(it))


def _rate(it: Yearly) -> Words:
    """The rate that would have covered the year, beside the one that was reckoned with."""
    covering, own = it.book.overhead.covering, it.studio.file.overhead
    if covering is None or own is None:
        return Said("year.overhead_words")
    if isinstance(own, Rate):
        return Said("year.rate_an_hour", rate=it.money(covering), own=it.money(own))
    return Said("year.rate_share", rate=per_cent(covering.value), own=per_cent(own))


def stock_of(it: Yearly) -> Iterator[Table]:
    """Goods sold where stock is counted; else what was paid for in the year."""
    goods, money_ = it.goods, it.book.currency
    if goods is None:
        lines = [(each.what, it.money(each)) for each in it.bought]
        whole = sum_row(Said("year.bought_in_all"), it.money(sum_of(list(it.bought))))
        words = Said("year.no_stock" if it.studio.file.books else "year.which_books")
        yield account(Said("year.bought"), (money_,), *rows(*lines), whole, words=words)
        return
    lines = [
        (Said("stock.opening", day=goods.first), it.money(goods.opening.total)),
        *((Said("stock.plus", what=each.what), it.money(each)) for each in goods.bought),
        (Said("stock.closing", day=goods.last), it.money(goods.closing.total)),
    ]
    whole = sum_row(Said("stock.goods"), it.money(goods.cost))
    heading, words = Said("stock.goods_heading"), Said("stock.goods_words")
    yield account(heading, (money_,), *rows(*lines), whole, words=words)


def losses_of(it: Yearly) -> Iterator[Table]:
    """What was lost, at what was paid for it."""
    if not it.lost:
        return
    lines = [
        (
            Said("form.day", day=each.on) if each.on else Said("year.no_day"),
            Cell(each.key.name, kind="words" if each.key.kind == "piece" else "name"),
            amount(each.amount, each.unit),
            it.money(each.cost),
        )
        for each in it.lost
    ]
    columns = (
        Column(Said("year.lost"), whole=True), Column(grows=True),
        *numbers("", it.book.currency),
    )  # fmt: skip
    words = notes(Said("year.lost_words"), style="dim")
    yield Table(columns, rows(*lines), words)


def prompts_of(it: Yearly) -> Iterator[Note]:
    """What to ask, each with where it was read."""
    studio = it.studio.file
    yield Note(Said("year.ask"), "bold", is_apart=True, is_set_in=False)
    yield Note(Said("year.is_it_yours", first=it.book.first, last=it.book.last))
    prompts = book_prompts(str(studio.currency), str(studio.books or "none"))
    for each in prompts:
        yield Note(Said("year.prompt", words=each.words, source=cited(each.source)))
    if prompts:
        yield Note(Said("year.checked", month=Said("form.part_day", text=checked())), "dim")
    yield Note(Said("year.no_advice"), "dim")
